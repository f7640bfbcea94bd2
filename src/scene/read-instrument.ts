/** From the parsed files of the catalogue to typed instruments and kits. The files ship with us: a fault in them throws. */
import { angleTable } from '../acoustics/angle-table.ts';
import { type Bands, bands, energyOf } from '../acoustics/bands.ts';
import { eightBands, type RawBands } from './eight-bands.ts';
import type { DirectivityFigures, Figures, Instrument, Kit, Loudness, Postures } from './instrument.ts';
import type { RawFigures, RawInstrument, RawKit, RawPosture, RawPostures } from './instrument-file.ts';
import { type Origin, originOf, type WithOrigin } from './origin.ts';

/** One instrument of the parsed catalogue. */
export function toInstrument(name: string, raw: RawInstrument, posture: RawPosture): Instrument {
  const own = toFigures(name, raw, posture);
  const usual = raw.usual ?? null;
  const variants = Object.entries(raw.playing ?? {}).map(
    ([way, over]) => [way, toFigures(`${name}, ${way}`, overlaid(raw, over), posture)] as const,
  );
  return {
    ...own,
    kind: 'instrument',
    name,
    about: raw.about,
    also: raw.also ?? [],
    mirrors: raw.mirrors ?? true,
    usual,
    playing: new Map(usual === null ? variants : [[usual, own], ...variants]),
  };
}

/** One kit of the parsed catalogue. */
export function toKit(name: string, raw: RawKit, posture: RawPosture): Kit {
  const body = seats(name, raw, posture);
  const origin = originOf(raw.from, 'parts', name);
  const parts = Object.entries(raw.parts).map(
    ([part, { instrument, place, axis }]) =>
      [part, { instrument, place, axis, from: { place: origin, axis: origin } }] as const,
  );
  const { about, also = [], usual, playing } = raw;
  return { ...body, kind: 'kit', name, about, also, usual, playing, parts: new Map(parts) };
}

/** A way of playing overrides what it names and brings the origins of that. */
function overlaid(raw: RawInstrument, over: Partial<RawFigures>): RawFigures {
  const { power, level, ...rest } = raw;
  const loudness = over.power || over.level ? {} : { ...(power && { power }), ...(level && { level }) };
  return { ...rest, ...loudness, ...over, from: [...(over.from ?? []), ...raw.from] };
}

function toFigures(name: string, raw: RawFigures, posture: RawPosture): WithOrigin<Figures> {
  const from = (figure: string): Origin => originOf(raw.from, figure, name);
  const { ears, eyes, from: seen } = seats(name, raw, posture);
  return {
    loudness: loudness(name, raw),
    spectrum: shares(raw.spectrum),
    directivity: directivity(raw.directivity),
    radius: raw.radius,
    place: postures(raw.place),
    axis: raw.axis,
    ears,
    eyes,
    lowestNote: raw['lowest-note'],
    closest: raw.closest,
    crest: raw.crest,
    from: {
      loudness: from(raw.power ? 'power' : 'level'),
      spectrum: from('spectrum'),
      directivity: from('directivity'),
      radius: from('radius'),
      place: from('place'),
      axis: from('axis'),
      ...seen,
      lowestNote: from('lowest-note'),
      closest: from('closest'),
      crest: from('crest'),
    },
  };
}

type Seated = Pick<RawKit, 'ears' | 'eyes' | 'from'>;

function seats(name: string, raw: Seated, posture: RawPosture): WithOrigin<Pick<Figures, 'ears' | 'eyes'>> {
  return {
    ears: postures(raw.ears ?? posture.ears),
    eyes: postures(raw.eyes ?? posture.eyes),
    from: {
      ears: originOf(raw.ears ? raw.from : posture.from, 'ears', name),
      eyes: originOf(raw.eyes ? raw.from : posture.from, 'eyes', name),
    },
  };
}

function loudness(name: string, { power, level }: RawFigures): Loudness {
  if (power) return { kind: 'power', steps: power };
  if (!level) throw new Error(`catalogue: ${name} has neither power nor level`);
  const { at, weighting, ...steps } = level;
  return { kind: 'level', steps, at, weighting };
}

function directivity(raw: RawFigures['directivity']): DirectivityFigures {
  if (!('table' in raw)) {
    return { kind: 'facts', q: eightBands(raw.Q), frontToBack: eightBands(raw['front-to-back']) };
  }
  const rows = Object.entries(raw.table).sort(([a], [b]) => Number(a) - Number(b));
  const degrees = rows.map(([at]) => Number(at));
  return {
    kind: 'table',
    ...angleTable(
      degrees,
      rows.map(([, row]) => [...eightBands(row)]),
    ),
  };
}

/** Relative levels as energies that sum to 1; null is silence. */
function shares(raw: RawBands): Bands {
  const energy = bands((band) => {
    const level = typeof raw === 'number' ? raw : raw[band];
    return level === null || level === undefined ? 0 : energyOf(level);
  });
  const sum = energy.reduce((total, one) => total + one, 0);
  return energy.map((one) => one / sum);
}

const postures = (raw: RawPostures): Postures => ('seated' in raw ? raw : { seated: raw, standing: raw });

/** Ears and eyes of whoever plays nothing that says otherwise. */
export const toPosture = (raw: RawPosture): Pick<Figures, 'ears' | 'eyes'> => ({
  ears: postures(raw.ears),
  eyes: postures(raw.eyes),
});
