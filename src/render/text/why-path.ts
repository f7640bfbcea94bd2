/** One way by octave: what each thing on it gives or takes, then the screens that it meets. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { WhyEdge, WhyGain, WhyPath, WhyScreen } from '../../judge/why/why-shape.ts';
import { EQUATIONS } from '../equations.ts';
import { type Column, plain, table } from '../table.ts';
import { rangeText, screenName, wayName } from '../why-words.ts';
import { padEnd } from '../width.ts';
import { figureOr, hertzName, percent } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { InUnits, Layout } from './layout.ts';

/** As wide as every name of a gain, so that the tables of all ways stand in line; eight octaves leave just this at 80. */
const NAME_WIDTH = 22;

export function pathLines(path: WhyPath, layout: Layout & InUnits): string[] {
  const gains = [
    ...path.gains.map((gain) => row(gainName(gain, path, layout), gain.byBand)),
    row('arrives', path.byBand),
  ];
  const screens = path.screens.map(screenRows);
  const [head = '', ...lines] = table(
    COLUMNS,
    [...gains, ...screens.flat()].map((cells) => cells.map(plain)),
    layout.width,
  );
  return [
    ...wrap(`${wayName(path)}, ${percent(path.fraction)}`, layout.width, '  ').map(layout.paint.strong),
    layout.paint.faint(head),
    ...lines.splice(0, gains.length),
    ...path.screens.flatMap((screen, i) => [
      ...edgeLines(screenTitle(screen, path), screen.edges, layout),
      ...lines.splice(0, screens[i]?.length ?? 0),
    ]),
    ...(path.edges.length > 0 ? edgeLines('opening', path.edges, layout, ['inside', 'beyond']) : []),
  ];
}

const COLUMNS: readonly Column[] = [
  { head: 'dB', align: 'left', flexible: true },
  ...NOMINAL_BANDS.map((hertz) => ({ head: bandHead(hertz), align: 'right' }) as const),
];

function bandHead(hertz: number): string {
  return hertzName(hertz).replace(' ', '').replace('Hz', '');
}

function gainName({ kind }: WhyGain, path: WhyPath, { lengths }: InUnits): string {
  if (kind === 'spreading' && path.length)
    return `spreading, ${lengths.way(path.length, path.points > 1 ? 1 : 2)}`;
  if (kind === 'directivity') return `source at ${rangeText(path.offAxis, 0, '°')}`;
  if (kind === 'response') return `microphone at ${rangeText(path.offAim, 0, '°')}`;
  return EQUATIONS[kind].name;
}

const row = (name: string, levels: readonly (number | null)[]): string[] => [
  padEnd(name, NAME_WIDTH),
  ...levels.map((level) => figureOr(level, 1, 'none')),
];

const screenRows = (screen: WhyScreen): string[][] => [
  row('  through it', screen.through),
  row('  past its edges', screen.past),
  row('  both', screen.whole),
];

function screenTitle(screen: WhyScreen, { kind }: WhyPath): string {
  const turn = kind === 'surface' || kind === 'mirror' ? 'the reflection' : 'the wall';
  return screen.where === 'whole' ? screenName(screen) : `${screenName(screen)}, ${screen.where} ${turn}`;
}

/** Edges by how much longer the way round them is, and on which side of them the straight line passes. */
function edgeLines(
  name: string,
  edges: readonly WhyEdge[],
  layout: Layout & InUnits,
  [within, without] = ['hidden', 'clear'],
): string[] {
  const ways = edges.map(
    ({ side, detour, hidden }) => `${side} +${layout.lengths.way(detour, 2)} ${hidden ? within : without}`,
  );
  return wrap(`${name}: ${ways.join(', ') || 'no way round'}`, layout.width, '  ', '    ');
}
