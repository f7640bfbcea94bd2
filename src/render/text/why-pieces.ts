import type { WhyPair } from '../../judge/why/why-shape.ts';
import { kindsIn } from '../shares.ts';
import { type Column, plain, table } from '../table.ts';
import { figureOr, percent } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';

const COLUMNS: readonly Column[] = [
  { head: 'source', align: 'left', flexible: true },
  { head: 'share', align: 'right' },
  { head: 'dB SPL', align: 'right' },
  { head: 'mostly', align: 'left' },
];

/** What a kit, part or player sends to one microphone, piece by piece, loudest first. */
export function pieces(name: string, pairs: readonly WhyPair[], layout: Layout): string[] {
  const whole = pairs.reduce((sum, pair) => sum + energy(pair), 0);
  const rows = pairs.map((pair) => {
    const [largest] = kindsIn(pair.shares);
    const mostly = largest ? `${largest.name} ${percent(pair.shares[largest.key])}` : 'nothing';
    return [
      pair.source,
      percent(whole > 0 ? energy(pair) / whole : 0),
      figureOr(pair.level, 1, 'none'),
      mostly,
    ];
  });
  const [head = '', ...lines] = table(
    COLUMNS,
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  const mic = pairs[0]?.mic ?? '';
  const [loudest] = pairs;
  const next = layout.all
    ? []
    : wrap(
        `${loudest?.source} is told below; --source with another name, or --all, tells more.`,
        layout.width,
        '  ',
      );
  return [
    ...wrap(`${name} at ${mic}, piece by piece`, layout.width).map(layout.paint.strong),
    layout.paint.faint(head),
    ...lines,
    ...next,
  ];
}

const energy = ({ judgedLevel }: WhyPair): number => (judgedLevel === null ? 0 : 10 ** (judgedLevel / 10));
