/** Entries of the catalogue as lists of values with their origins, and the search among them. */
import { type Bands, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { fitDirectivity } from '../acoustics/directivity.ts';
import { nullAngle } from '../acoustics/pattern.ts';
import type { Vec3 } from '../geometry.ts';
import type { Shelves } from '../plan/json-schema.ts';
import { type Aliased, closestNames, MOST_OFFERED, sameName } from '../text.ts';
import {
  type Catalogue,
  type CataloguePattern,
  type ConstructionFigures,
  type Content,
  type Cover,
  DYNAMICS,
  type Figure,
  type Figures,
  type Finish,
  type Headphones,
  HIGHEST_ABSORPTION,
  type Instrument,
  type Kit,
  type Materials,
  type Origin,
  type WithOrigin,
} from './catalogue.ts';

/** Names that a plan may write, by where they are looked up. */
export function shelvesOf(catalogue: Catalogue): Shelves {
  const playing = [
    ...[...catalogue.instruments.values()].flatMap((instrument) => [...instrument.playing.keys()]),
    ...[...catalogue.kits.values()].flatMap((kit) => kit.playing),
  ];
  const named = Object.fromEntries(KINDS.map((kind) => [kind, catalogueNames(catalogue, kind)]));
  const { instruments, kits, ...others } = named as Record<Kind, readonly string[]>;
  return { ...others, instruments: [...instruments, ...kits], playing: [...new Set(playing)].sort() };
}

/** Names of a kind, without reading what they stand for. */
export const catalogueNames = ({ materials, ...rest }: Catalogue, kind: Kind): readonly string[] => [
  ...{ ...rest, ...materials }[kind].keys(),
];

export type Found = {
  /** To be shown with every value. */
  readonly whole: readonly CatalogueEntry[];
  /** To be shown in a line each. */
  readonly listed: readonly CatalogueEntry[];
};

/** All of it, kind by kind. */
export const catalogueEntries = ({ instruments, families, ...rest }: Catalogue): CatalogueEntry[] => [
  ...[...instruments.values()].map((one) => instrumentEntry(one, families.get(one.name) ?? null)),
  ...[...rest.kits.values()].map(kitEntry),
  ...[...rest.covers.values()].map(coverEntry),
  ...[...rest.headphones.values()].map(headphonesEntry),
  ...materialEntries(rest.materials),
];

export const isKind = (word: string): word is Kind => KINDS.some((kind) => kind === word);

/** What goes by the words as its name, whole, or else as another name of it alone; and what has all of them in any text. */
export function findEntries(entries: readonly CatalogueEntry[], words: readonly string[]): Found {
  const wanted = words.map((word) => word.toLowerCase());
  const named = entries.filter(({ name }) => name === wanted.join('-'));
  const called = entries.filter(({ also }) => also.some((one) => sameName(one, wanted.join(' '))));
  const whole = named.length === 0 && called.length === 1 ? called : named;
  const listed = entries.filter((entry) => !whole.includes(entry) && holds(entry, wanted));
  return whole.length === 0 && listed.length === 1 ? { whole: listed, listed: [] } : { whole, listed };
}

/** Up to three names, words of names or kinds that may have been meant. */
export function nearestEntries(entries: readonly CatalogueEntry[], words: readonly string[]): string[] {
  const single = new Set<string>([...entries.flatMap(({ name }) => name.split('-')), ...KINDS]);
  return [...new Set(closestNames(words.join('-'), [...entries, ...single]))].slice(0, MOST_OFFERED);
}

function holds({ name, group, about, also }: CatalogueEntry, words: readonly string[]): boolean {
  const text = [name, group ?? '', about, ...also].join(' ').toLowerCase();
  return words.every((word) => text.includes(word));
}

function materialEntries(materials: Materials): CatalogueEntry[] {
  const all = <Entry extends Finish | Content | ConstructionFigures | CataloguePattern>(
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

const finish = ({ absorption }: Finish): ShownFigure[] => [coefficient(absorption)];

const content = ({ each, perArea }: Content): ShownFigure[] => [
  ...(each ? [byBand(each, { name: 'absorption area a piece', unit: 'm²', digits: 3 })] : []),
  ...(perArea ? [{ ...coefficient(perArea), name: 'absorption coefficient of each m² covered' }] : []),
];

const construction = ({ reduction, absorption, windowFrom }: ConstructionFigures): ShownFigure[] => [
  byBand(reduction, { name: 'sound reduction index', unit: 'dB', digits: 1 }),
  ...(absorption ? [{ ...coefficient(absorption), name: 'absorption coefficient of its faces' }] : []),
  ...(windowFrom === null
    ? []
    : [numberFigure({ name: 'seen through from', unit: 'm', digits: 2, from: null }, windowFrom)]),
];

function pattern({ response, selfNoise }: CataloguePattern): ShownFigure[] {
  const noise = { name: 'self-noise', unit: 'dBA', digits: 0 };
  const byAngle = { name: 'response by angle off the aim', unit: 'dB', digits: 1 };
  return [
    response.kind === 'first-order'
      ? gradient(response.a)
      : angleFigure({ ...byAngle, from: response.from }, response.rows, response.energy),
    ...(selfNoise ? [numberFigure({ ...noise, from: selfNoise.from }, selfNoise.value)] : []),
  ];
}

/** A by band, and where that puts the null. */
function gradient(a: Figure): ShownFigure {
  const shown = byBand(a, { name: 'A of A + B·cos θ', unit: '', digits: 3 });
  const at1k = nullAngle(a.values[NOMINAL_BANDS.indexOf(1000)] as number);
  const where = at1k === null ? 'no null at 1 kHz' : `null at ${at1k.toFixed(0)}° at 1 kHz`;
  return { ...shown, remarks: [where, ...shown.remarks] };
}

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

/** The usual way of playing whole, of the others what differs from it. */
function instrumentEntry(instrument: Instrument, group: string | null): CatalogueEntry {
  const { name, about, also, usual, playing } = instrument;
  const own = figuresOf(instrument);
  const known = new Set(own.map((figure) => JSON.stringify(figure)));
  const others = [...playing].flatMap(([way, over]) =>
    way === usual
      ? []
      : figuresOf(over)
          .filter((figure) => !known.has(JSON.stringify(figure)))
          .map((figure) => ({ ...figure, way })),
  );
  const figures = [...own.map((one) => ({ ...one, way: usual })), ...others];
  return { kind: 'instruments', name, group, about, also, figures };
}

function figuresOf(one: WithOrigin<Figures>): ShownFigure[] {
  const { from } = one;
  const metres = { unit: 'm', digits: 3 };
  return [
    loudness(one),
    byBandFigure(
      { name: 'spectrum on the axis', unit: 'dB re its sum', digits: 1, from: from.spectrum },
      one.spectrum.map((share) => 10 * Math.log10(share)),
    ),
    ...directivity(one),
    numberFigure({ name: 'radius of the sounding area', ...metres, from: from.radius }, one.radius),
    placeFigure({ name: 'acoustic centre', ...metres, from: from.place }, one.place),
    figureOf({ name: 'axis', unit: '°', digits: 0, from: from.axis }, ANGLES, [
      { label: '', values: [one.axis.bearing, one.axis.tilt] },
    ]),
    placeFigure({ name: 'ears', ...metres, from: from.ears }, one.ears),
    placeFigure({ name: 'eyes', ...metres, from: from.eyes }, one.eyes),
    numberFigure({ name: 'lowest note', unit: 'Hz', digits: 2, from: from.lowestNote }, one.lowestNote),
    numberFigure({ name: 'nearest sensible microphone', ...metres, from: from.closest }, one.closest),
    numberFigure({ name: 'peak over mean', unit: 'dB', digits: 1, from: from.crest }, one.crest),
  ];
}

function loudness({ loudness: loud, from }: WithOrigin<Figures>): ShownFigure {
  const named =
    loud.kind === 'power'
      ? { name: 'sound power', unit: 'dB re 1 pW' }
      : {
          name: 'level on the axis',
          unit: `dB${loud.weighting === 'Z' ? '' : loud.weighting} at ${loud.at} m`,
        };
  return figureOf({ ...named, digits: 1, from: from.loudness }, DYNAMICS, [
    { label: '', values: DYNAMICS.map((dynamic) => loud.steps[dynamic]) },
  ]);
}

function directivity({ directivity: known, from }: WithOrigin<Figures>): ShownFigure[] {
  const { q, frontToBack, table } = known;
  if (table || !frontToBack) {
    const named = { name: 'sound by angle off the axis', unit: 'dB', digits: 1, from: from.directivity };
    return table ? [angleFigure(named, table.rows, table.energy)] : [];
  }
  const isBent = (band: number) => fitDirectivity(q[band] ?? 1, frontToBack[band] ?? null).bent;
  const bent = NOMINAL_BANDS.filter((_, band) => isBent(band));
  const ratio = { name: 'front-to-back ratio', unit: 'dB', digits: 1, from: from.directivity };
  const remarks = bent.length > 0 ? [`bent to keep Q at ${bent.join(', ')} Hz`] : [];
  return [
    byBandFigure({ name: 'directivity factor Q', unit: '', digits: 2, from: from.directivity }, q),
    { ...byBandFigure(ratio, frontToBack), remarks },
  ];
}

function kitEntry({ name, about, also, usual, parts, ears, eyes, from, playing }: Kit): CatalogueEntry {
  const pieces = [...parts].map(([piece, { instrument, place, axis }]) => ({
    label: piece === instrument ? piece : `${piece} (${instrument})`,
    values: [...place, axis.bearing, axis.tilt],
  }));
  const origin = [...parts.values()][0]?.from.place ?? null;
  const metres = { unit: 'm', digits: 3 };
  const ways = playing.map((way) => (way === usual ? `${way} (usual)` : way)).join(', ');
  const figures = [
    figureOf({ name: 'pieces', unit: 'm and °', digits: 2, from: origin }, [...AXES, ...ANGLES], pieces),
    placeFigure({ name: 'ears', ...metres, from: from.ears }, ears),
    placeFigure({ name: 'eyes', ...metres, from: from.eyes }, eyes),
  ];
  return { kind: 'kits', name, group: null, about: `${about}; played with ${ways}`, also, figures };
}

function coverEntry({ name, about, also, loss, from }: Cover): CatalogueEntry {
  const figures = [byBandFigure({ name: 'loss', unit: 'dB', digits: 1, from: from.loss }, loss)];
  return { kind: 'covers', name, group: null, about, also, figures };
}

function headphonesEntry(one: Headphones): CatalogueEntry {
  const { name, about, also, leak, attenuation, hearsByAir, from } = one;
  const byAir = { name: 'hears the others by air', unit: '', digits: 0, from: from.hearsByAir };
  const leaks = { name: 'leak: level at 1 m re the ear', unit: 'dB', digits: 1, from: from.leak };
  const loss = { name: 'loss of the sound in the room', unit: 'dB', digits: 1, from: from.attenuation };
  const figures = [
    wordFigure(byAir, hearsByAir ? 'yes' : 'no'),
    leak ? byBandFigure(leaks, leak) : wordFigure({ ...leaks, unit: '' }, 'nothing'),
    byBandFigure(loss, attenuation),
  ];
  return { kind: 'headphones', name, group: null, about, also, figures };
}

export const KINDS = [
  'instruments',
  'kits',
  'covers',
  'headphones',
  'finishes',
  'contents',
  'constructions',
  'doors',
  'glazings',
  'panels',
  'patterns',
] as const;
export type Kind = (typeof KINDS)[number];

export type CatalogueEntry = Aliased & {
  readonly kind: Kind;
  /** Heading it stands under, or null. */
  readonly group: string | null;
  readonly about: string;
  readonly figures: readonly ShownFigure[];
};

/** A value as a small table: by band, by dynamic, by posture; a single number has no columns. */
export type ShownFigure = {
  readonly name: string;
  readonly unit: string;
  /** Technique it holds for, or null where there is but one. */
  readonly way: string | null;
  /** Most decimals worth showing. */
  readonly digits: number;
  readonly columns: readonly string[];
  /** Null is silence. */
  readonly rows: readonly { readonly label: string; readonly values: readonly (number | null)[] }[];
  /** `of` names what of the value an origin is for: a band ("63 Hz"); empty for all the rest. */
  readonly origins: readonly { readonly of: string; readonly origin: Origin }[];
  /** What of it is not as it was found: interpolated, kept within bounds. */
  readonly remarks: readonly string[];
};

type Named = Pick<ShownFigure, 'name' | 'unit' | 'digits'> & {
  /** Null where nothing was measured: what the thing is. */
  readonly from: Origin | null;
};

const BAND_COLUMNS = NOMINAL_BANDS.map(String);
const AXES = ['right', 'ahead', 'up'];
const ANGLES = ['bearing', 'tilt'];

function figureOf({ from, ...named }: Named, columns: readonly string[], rows: ShownFigure['rows']) {
  const origins = from ? [{ of: '', origin: from }] : [];
  return { ...named, way: null, columns, rows, origins, remarks: [] } satisfies ShownFigure;
}

export const byBandFigure = (named: Named, values: Bands): ShownFigure =>
  figureOf(named, BAND_COLUMNS, [{ label: '', values: Array.from(values, finite) }]);

export const numberFigure = (named: Named, value: number): ShownFigure =>
  figureOf(named, [], [{ label: '', values: [value] }]);

const wordFigure = (named: Named, word: string): ShownFigure =>
  figureOf(named, [], [{ label: word, values: [] }]);

/** Energies re the axis as dB at every 30°, by band. */
function angleFigure(named: Named, rows: number, energy: Float64Array): ShownFigure {
  const step = (rows - 1) / 6;
  const angles = [0, 1, 2, 3, 4, 5, 6].map((i) => ({
    label: `${i * 30}°`,
    values: NOMINAL_BANDS.map((_, band) =>
      finite(10 * Math.log10(energy[Math.round(i * step) * NOMINAL_BANDS.length + band] ?? 0)),
    ),
  }));
  return figureOf(named, BAND_COLUMNS, angles);
}

export function placeFigure(named: Named, places: Readonly<Record<string, Vec3>>): ShownFigure {
  const rows = Object.entries(places).map(([label, values]) => ({ label, values }));
  const [first, second] = rows;
  const same = first && second && first.values.every((value, i) => value === second.values[i]);
  return figureOf(named, AXES, same ? [{ ...first, label: '' }] : rows);
}

/** Silence, and a null without a floor, have no level in dB. */
const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
