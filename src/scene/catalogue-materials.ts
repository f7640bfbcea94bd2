/** Materials and patterns of the catalogue as lists of figures. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { nullAngle } from '../acoustics/pattern.ts';
import type { Called } from '../plan/called.ts';
import {
  angleFigure,
  byBandFigure,
  type CatalogueEntry,
  type Kind,
  numberFigure,
  type ShownFigure,
} from './catalogue-entry.ts';
import {
  type CataloguePattern,
  type Construction,
  type Content,
  type Figure,
  type Finish,
  HIGHEST_ABSORPTION,
  type Materials,
} from './material.ts';

export function materialEntries(materials: Materials): CatalogueEntry[] {
  const all = <Entry extends Headed>(
    kind: Kind,
    entries: ReadonlyMap<string, Entry>,
    figures: (entry: Entry) => ShownFigure[],
  ): CatalogueEntry[] =>
    [...entries.values()].map((entry) => {
      const { name, group, says, also } = entry;
      return { kind, name, group: group.replaceAll('-', ' '), about: says, also, figures: figures(entry) };
    });
  return [
    ...all('finishes', materials.finishes, finish),
    ...all('contents', materials.contents, content),
    ...all('constructions', materials.constructions, construction),
    ...all('doors', materials.doors, construction),
    ...all('glazings', materials.glazings, construction),
    ...all('panels', materials.panels, construction),
    ...all('patterns', materials.patterns, pattern),
  ];
}

type Headed = Called & { readonly group: string; readonly says: string };

const finish = ({ absorption }: Finish): ShownFigure[] => [coefficient(absorption)];

const content = ({ each, perArea }: Content): ShownFigure[] => [
  ...(each ? [byBand(each, { name: 'absorption area a piece', unit: 'm²', digits: 3 })] : []),
  ...(perArea ? [{ ...coefficient(perArea), name: 'absorption coefficient of each m² covered' }] : []),
];

const construction = ({ reduction, absorption, windowFrom }: Construction): ShownFigure[] => [
  byBand(reduction, { name: 'sound reduction index', unit: 'dB', digits: 1 }),
  ...(absorption ? [{ ...coefficient(absorption), name: 'absorption coefficient of its faces' }] : []),
  ...(windowFrom === null ? [] : [seenThrough(windowFrom)]),
];

const seenThrough = (height: number): ShownFigure =>
  numberFigure({ name: 'seen through from', unit: 'm', digits: 2, from: null }, height);

function pattern({ response, selfNoise }: CataloguePattern): ShownFigure[] {
  const noise = { name: 'self-noise', unit: 'dBA', digits: 0 };
  return [
    ...(response.kind === 'first-order' ? [gradient(response.a)] : [measured(response)]),
    ...(selfNoise ? [numberFigure({ ...noise, from: selfNoise.from }, selfNoise.value)] : []),
  ];
}

/** A by band, and where that puts the null. */
function gradient(a: Figure): ShownFigure {
  const shown = byBand(a, { name: 'A of A + B·cos θ', unit: '', digits: 3 });
  const nulls = Array.from(a.values, (value) => nullAngle(value));
  const null1k = nulls[NOMINAL_BANDS.indexOf(1000)];
  const where =
    null1k === null || null1k === undefined ? 'no null at 1 kHz' : `null at ${null1k.toFixed(0)}° at 1 kHz`;
  return { ...shown, remarks: [where, ...shown.remarks] };
}

const measured = (response: Extract<CataloguePattern['response'], { kind: 'table' }>): ShownFigure =>
  angleFigure(
    { name: 'response by angle off the aim', unit: 'dB', digits: 1, from: response.from },
    response.rows,
    response.energy,
  );

const coefficient = (figure: Figure): ShownFigure =>
  byBand(figure, { name: 'absorption coefficient', unit: '', digits: 3 });

function byBand(figure: Figure, named: { name: string; unit: string; digits: number }): ShownFigure {
  const { values, from, bandsFrom } = figure;
  const shown = byBandFigure({ ...named, from }, values);
  const single = [...bandsFrom].map(([band, origin]) => ({ of: `${band} Hz`, origin }));
  return { ...shown, origins: [...shown.origins, ...single], remarks: remarks(figure) };
}

function remarks({ filled, kept }: Figure): string[] {
  const said = (bands: readonly number[], text: string) =>
    bands.length > 0 ? [`${text} at ${bands.join(', ')} Hz`] : [];
  return [
    ...said(filled.interpolated, 'interpolated'),
    ...said(filled.held, 'the nearest printed value holds'),
    ...said(kept, `printed higher, kept to ${HIGHEST_ABSORPTION}`),
  ];
}
