/** Values, verdicts, readings and path names in words; equations. */
import { middleMean } from '../acoustics/bands.ts';
import type { Grade, Origin } from '../catalogue/catalogue.ts';
import type { Finding } from '../finding.ts';
import { DAY, type ExposureRow } from '../judge/exposure.ts';
import type { ReadingsSummary, Report } from '../judge/report.ts';
import type { RoomRow } from '../judge/rooms.ts';
import type { MicRow, Shares } from '../judge/signal-to-bleed.ts';
import type { Basis, Verdict } from '../judge/verdict.ts';
import type { Range, WhyBaffle, WhyPath } from '../judge/why.ts';
import type { Cause, CauseKind, How } from '../line-check/diagnose.ts';
import { duration, figure } from '../text.ts';
import type { GainKind } from '../transfer/trace.ts';
import type { Words } from './view.ts';

export function pathName({ kind, share, by, of, baffles }: WhyPath): string {
  switch (kind) {
    case 'direct':
      return baffles.length > 0 ? 'direct, around baffles' : 'direct';
    case 'corner':
      return 'around the corner';
    case 'surface':
      return by?.startsWith('wall ') ? `${by.slice('wall '.length)} wall reflection` : `${by} reflection`;
    case 'baffle':
      return `${by} reflection`;
    case 'diffuse-field':
      return share === 'room' ? 'room (diffuse field)' : 'through walls (diffuse)';
    case 'through':
      return by === 'wall' ? `through ${of}` : `through the ${by} of ${of}`;
    case 'opening':
      return by?.startsWith('opening') ? `through the ${by} of ${of}` : `through the open ${by} of ${of}`;
  }
}

/** "4.13 m", or "3.9–5.2 m" where a section's points differ. */
export function rangeText(range: Range | null, digits: number, unit: string): string {
  if (range === null) return '';
  const [from, to] = [figure(range.from, digits), figure(range.to, digits)];
  return from === to ? `${to}${unit}` : `${from}–${to}${unit}`;
}

export const inMilliseconds = (range: Range | null): Range | null =>
  range && { from: 1000 * range.from, to: 1000 * range.to };

/** Panels of one barrier by name; of a long one the first two. */
export function baffleName({ panels }: WhyBaffle): string {
  const [first = '', second, ...more] = panels;
  if (second === undefined) return first;
  return more.length > 0 ? `${first}, ${second} and ${more.length} more` : `${first} and ${second}`;
}

/** What the level falls by when this part of it goes, dB; null where next to nothing is left. */
export const lessWithout = (fraction: number): number | null =>
  fraction < 0.99 ? -10 * Math.log10(1 - fraction) : null;

export const EQUATIONS: Readonly<Record<GainKind, Readonly<Record<'name' | 'equation' | 'source', string>>>> =
  {
    strength: {
      name: 'source on axis',
      equation: 'Lw + 10·lg Q − 10·lg 4π; of a section, the share of each point',
      source: 'definitions of sound power and directivity factor; ρc taken as 400',
    },
    power: {
      name: 'sound power',
      equation: 'Lw, over all directions',
      source: 'definition of sound power; ρc taken as 400',
    },
    spreading: {
      name: 'spreading',
      equation: 'E(r) = ln(1 + a²/r²)/a² for a source of radius a, 1/r² for a point; r at least 1 cm',
      source: 'exact mean of 1/r² over an incoherent disc',
    },
    directivity: {
      name: 'source directivity',
      equation:
        'G(θ) = b + (1 − b)·((1 + cos θ)/2)^n with b and n from Q and front to back, or a measured table',
      source: 'a form chosen for this model; values as cited in the catalogue',
    },
    air: { name: 'air', equation: '10^(−αr/10) over the path length', source: 'ISO 9613-1' },
    surface: {
      name: 'reflected',
      equation: '1 − α of the surface, area mean; with doors and windows |r_wall + Σ (r_e − r_wall)·P_e|²',
      source: 'first-order image source',
    },
    face: {
      name: 'reflected by baffle',
      equation: '(1 − α)(1 − τ) of the panel',
      source: 'first-order image source',
    },
    size: {
      name: 'baffle size',
      equation: '1 − min(1, F), F what passes the edges on the line from the image',
      source: 'complement of what passes; Hadden and Pierce 1981',
    },
    corners: {
      name: 'around the corner',
      equation:
        '|c + D1 + s·D2|² of each corner, c = 1 where the line is clear of it; of several (Σ L^(5/3))^(3/5) of their losses L',
      source: 'Hadden and Pierce 1981, two terms, this model',
    },
    wall: {
      name: 'transmission',
      equation: 'τ = 10^(−R/10) of what the path crosses',
      source: 'sound reduction index from catalogue or plan',
    },
    opening: {
      name: 'through the opening',
      equation:
        '(t_left + t_right − 1)(t_below + t_above − 1), squared, mean over the band and positions as around baffles, each edge at its own angles',
      source: 'Hadden and Pierce 1981 edge waves; complement of a baffle, after ITU-R P.526',
    },
    baffles: {
      name: 'around baffles',
      equation:
        'τ + (1 − τ)·F/max(1, F), F the squared sum of edge waves, mean over the band; from 1 kHz up with the phase coherence that positions 2.2 cm apart leave, tapered beside a panel up to its plane; several baffles: (Σ L^(5/3))^(3/5) of their losses L; gaps under 20 cm open and shut in part; each edge at its own angles, which the values of single baffles omit',
      source: 'Hadden and Pierce 1981 edge wave; several edges after ITU-R P.526',
    },
    field: {
      name: 'room gain',
      equation: '4·x/W from x_i·(A_i + ΣS_ij·τ_ij) − ΣS_ij·τ_ij·x_j = W_i; 4/A in a room by itself',
      source: 'power balance of diffuse fields in coupled rooms',
    },
    interior: {
      name: 'away from surfaces',
      equation: '1/w, w = 1 + S·λ/(8V), at most 2.8, of the room of the mic',
      source: 'Waterhouse 1955; ISO 3741',
    },
    'first-hit': {
      name: 'after 1st surface',
      equation: '1 − α₁, α₁ the mean absorption of the surfaces first met in 500 directions, weighted by G',
      source: 'ray count; first reflections are paths of their own',
    },
    'further-hits': {
      name: 'with distance',
      equation:
        '(1 − ᾱ)^((1 + r/ℓ)/2), ᾱ the mean absorption of the room, ℓ = 4V/S, r the distance inside the outline',
      source: 'diffuse field from the second reflection on; half the slope of Barron and Lee 1988',
    },
    response: {
      name: 'mic pattern',
      equation: 'D² = ε² + (1 − ε²)·[(A + B·cos θ)² + (B·cos θ/(k·r_e))²], or a measured table',
      source: 'first-order pattern; pressure gradient of a spherical wave',
    },
    random: {
      name: 'mic, diffuse field',
      equation: 'REE = ε² + (1 − ε²)(A² + B²/3), or the mean of a table over the sphere',
      source: 'mean of D² over the sphere',
    },
    cover: {
      name: 'cover',
      equation: 'insertion loss of the cover, except on the direct path to a mic inside it',
      source: 'from catalogue or plan',
    },
  };

/** What each share of a bleed is called and how to reduce it. Remedies: common practice, no source. */
const KINDS: readonly (Readonly<Record<'name' | 'fix', string>> & { key: keyof Shares })[] = [
  { key: 'direct', name: 'direct', fix: 're-aim, use the null, add a baffle' },
  { key: 'reflections', name: 'first reflections', fix: 'move player or mic' },
  { key: 'room', name: 'room', fix: 'closer mic, softer playing, absorption, another room' },
  { key: 'walls', name: 'through walls', fix: 'close the door' },
];

/** The kinds that make up at least half a percent, largest first. */
export const kindsIn = (shares: Shares) =>
  KINDS.filter(({ key }) => shares[key] >= 0.005).sort((a, b) => shares[b.key] - shares[a.key]);

/** "room 62%": the largest share. */
export function mainly(shares: Shares, nothing: string): string {
  const [largest] = kindsIn(shares);
  return largest ? `${largest.name} ${percent(shares[largest.key])}` : nothing;
}

/** Shares below this are not worth a remedy of their own. */
const WORTH_FIXING = 0.2;

/** What the bleed is made of, and the remedies for it: one phrase each, largest share first. */
export function remedies({ bleedShares, baffleGainMax }: MicRow): string[] {
  if (bleedShares === null) return [];
  const kinds = kindsIn(bleedShares);
  const made = kinds.map(({ key, name }) => `${percent(bleedShares[key])} ${name}`).join(', ');
  const worth = kinds.filter(({ key }, i) => i === 0 || bleedShares[key] >= WORTH_FIXING);
  return [
    ...(kinds.length > 0 ? [`Bleed: ${made}`] : []),
    ...worth.map(({ name, fix }) => `${capital(name)}: ${fix}`),
    ...(baffleGainMax === null ? [] : [baffleGain(baffleGainMax)]),
  ];
}

const baffleGain = (most: number): string =>
  `${most < 0.05 ? "Baffles won't help here" : `Baffles gain ${figure(most, 1)} dB at most`} (absorption aside)`;

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Who is over the daily dose in eight hours, shortest limit first: "soprano 54 min (94.4 dBA)". */
export function overDose({ exposure }: Pick<Report, 'exposure'>): string[] {
  const loud = exposure.flatMap((row) =>
    row.minutes !== null && row.level !== null && row.minutes < DAY ? [{ ...row, minutes: row.minutes }] : [],
  );
  const sorted = loud.sort((a, b) => a.minutes - b.minutes);
  return sorted.map((row) => `${row.player} ${exposureWords(row)} (${exposureLevel(row)})`);
}

/** The limit per day; where headphones of unknown level are worn, the most that it may be, if that is short. */
export function exposureWords({ minutes, level, isLeast }: ExposureRow): string {
  if (minutes === null) return isLeast ? 'unknown' : level === null ? 'silent' : '';
  return isLeast ? `at most ${duration(minutes)}` : duration(minutes);
}

const exposureLevel = ({ level, isLeast }: ExposureRow): string =>
  `${figure(level ?? 0, 1)} dBA${isLeast ? ' by air alone' : ''}`;

/** "Unknown for drummer: headphones without a level"; null where it is known of all. */
export function unknownDose({ exposure }: Pick<Report, 'exposure'>): string | null {
  const who = exposure.flatMap(({ player, minutes, isLeast }) =>
    isLeast && minutes === null ? [player] : [],
  );
  return who.length === 0 ? null : `Unknown for ${who.join(', ')}: set \`cue: {level}\` of the headphones`;
}

export const NIOSH_RULE =
  'NIOSH: 85 dBA for 8 h, 3 dB exchange rate, no breaks. An estimate: measure, and follow local rules.';

/** Who is over the daily dose in eight hours, and the limit; null where nobody is. */
export function hearingCaution(report: Report): string | null {
  const who = overDose(report);
  const unknown = unknownDose(report);
  if (who.length === 0 && unknown === null) return null;
  const said = [who.join(', '), unknown ?? ''].filter((part) => part !== '').join('. ');
  return `Noise exposure, NIOSH limit per day: ${said}. ${NIOSH_RULE}`;
}

/** " in verse", beside a value that was judged in it; nothing where the plan has no passages. */
export const inPassage = (passage: string | null): string => (passage === null ? '' : ` in ${passage}`);

const SENTENCES: Readonly<Record<CauseKind, (about: readonly string[], how: string) => string>> = {
  pattern: ([mic], how) => `${mic} is ${how}`,
  aim: ([mic], how) => `${mic} is mis-aimed, ${how}`,
  mics: ([a, b]) => `${a} and ${b} are on each other's stand`,
  channels: ([a, b]) => `the channels of ${a} and ${b} are swapped`,
  facing: ([who], how) => `${who} faces another direction, ${how}`,
  place: ([who], how) => `${who} stands elsewhere${how && `, ${how}`}`,
  door: ([door], how) => `${door} is ${how}`,
  'baffle-missing': ([baffle]) => `${baffle} is absent`,
  'baffle-extra': ([a, b]) => `an extra baffle stands between ${a} and ${b}`,
  reading: ([who, mic], how) => `the reading of ${who} at ${mic} ${how}; measure it again`,
};

export const causeWords = ({ kind, about, how }: Cause): string => SENTENCES[kind](about, howWords(how));

/** A distance is as planned within this share. */
const ALIKE = 0.1;

export function howWords(how: How): string {
  if (how === null) return '';
  if ('pattern' in how) return `set to ${how.pattern}`;
  if ('state' in how) return how.state;
  if ('times' in how)
    return Math.abs(how.times - 1) < ALIKE
      ? ''
      : how.times > 1
        ? `${figure(how.times, 1)} times as far away`
        : `${percent(how.times)} of the planned distance away`;
  if ('off' in how) return `is ${figure(Math.abs(how.off), 1)} dB too ${how.off > 0 ? 'high' : 'low'}`;
  return how.degrees === 180 ? 'turned 180°' : `about ${how.degrees}° ${how.toward}`;
}

/** A, B, C … for the plans in their order. */
export const letter = (index: number): string =>
  index < 26 ? String.fromCharCode(65 + index) : `${letter(Math.floor(index / 26) - 1)}${letter(index % 26)}`;

/** A path as one says it: mics.main.at. */
export const pathWords = (path: readonly (string | number)[]): string =>
  path
    .map((step) => (typeof step === 'number' ? `[${step}]` : `.${step}`))
    .join('')
    .replace(/^\./, '');

/** What each value is based on, where there are measured levels. */
const BASES: Readonly<Record<Basis, readonly [mark: string, meaning: string]>> = {
  measured: ['(m)', 'read at this mic, so gains cancel'],
  'measured-overall': ['(o)', 'read at this mic over all octaves; the spectrum is from the plan'],
  'measured-levels': ['(l)', 'computed from measured levels only'],
  'partly-measured': ['(~)', 'some levels are from the plan, or cannot be separated'],
  predicted: ['(p)', 'from the plan only'],
};

/** Beside a value; empty without readings. */
export const basisWords = (basis: Basis | null): string => basis?.replace('-', ' ') ?? '';

/** The same where there is no room for words. */
export const basisMark = (basis: Basis | null): string => (basis === null ? '' : BASES[basis][0]);

/** What was read, whose levels that gives, and what the words beside values mean. None without readings. */
export function readingsLines(
  readings: ReadingsSummary | null,
  bases: readonly (Basis | null)[] = [],
  mark?: (basis: Basis) => string,
): string[] {
  if (!readings) return [];
  const { files, count } = readings;
  const used = (Object.keys(BASES) as Basis[]).filter((one) => bases.includes(one));
  const name = (one: Basis) => (mark ? `${mark(one)} ${basisWords(one)}` : basisWords(one));
  const legend = used.map((one) => `${name(one)}: ${BASES[one][1]}`);
  return [
    `Measured levels: ${files.join(', ')}, ${counted(count, 'reading')} ${scope(readings)}${tooQuiet(readings)}${residual(readings)}.`,
    ...levelLines(readings),
    ...(legend.length > 0 ? [`${legend.join('; ')}.`] : []),
    ...farOff(readings),
  ];
}

const tooQuiet = ({ belowNoise }: ReadingsSummary): string =>
  belowNoise === 0 ? '' : ` (${belowNoise} more below noise)`;

function residual({ count, degreesOfFreedom, rms }: ReadingsSummary): string {
  if (count === 0) return '';
  return degreesOfFreedom <= 0
    ? ', too few to check the plan: levels and gains use them all'
    : `, ${figure(rms, 1)} dB rms off the plan after fitting levels and gains`;
}

/** Larger residuals are more than careful readings and a careful plan leave, dB. Common practice, no source. */
const FAR = 2;

function farOff({ outliers, rms }: ReadingsSummary): string[] {
  if (outliers > 0) return [`${counted(outliers, 'outlier')}: see line-check.`];
  return rms < FAR ? [] : ['Measured levels are far from the plan: see line-check.'];
}

const scope = ({ layers, weighting }: ReadingsSummary): string =>
  layers[0] === null ? `over all octaves${weighting === 'Z' ? '' : `, dB${weighting}`}` : 'by octave';

function levelLines({ measured, predicted, count }: ReadingsSummary): string[] {
  const groups = [...new Set(measured.map(({ group }) => group))].map((group) =>
    measured
      .filter((one) => one.group === group)
      .map(({ name, measuredAsOne }) => (measuredAsOne ? `${name} (as one)` : name))
      .join(', '),
  );
  const none = count === 0 ? 'no reading counts' : 'no two players were measured at the same mic';
  const told =
    groups.length === 0
      ? `No level measured: ${none}.`
      : `Measured, relative to each other: ${groups.join('; separately: ')}. The absolute level is from the plan.`;
  return [told, ...(predicted.length > 0 ? [`Predicted: ${predicted.join(', ')}.`] : [])];
}

/** A value, or a word where there is none. */
export const figureOr = (value: number | null, digits: number, word: string): string =>
  value === null ? word : figure(value, digits);

/** A limit or a ratio as one would say it: 10, 9.5. */
export const round = (value: number): string => figure(value, 1).replace(/\.0$/, '');

/** "+3.1", "-2.0", "0.0". */
export function signed(value: number, digits: number): string {
  const text = figure(value, digits);
  return Number(text) > 0 ? `+${text}` : text;
}

export const percent = (fraction: number): string => `${figure(100 * fraction, 0)}%`;

/** The verdict with its deficit or reserve; the word alone where no margin can be given. */
export function verdictWords(verdict: Verdict, margin: number | null): string {
  if (margin === null) return verdict;
  const size = Math.abs(margin) < 0.05 ? 'under 0.1 dB' : `${figure(Math.abs(margin), 1)} dB`;
  return verdict === 'short' ? `${size} short` : `${verdict}, ${size} to spare`;
}

/** The same in a table; `none` where there is no verdict. */
export const verdictCell = ({ verdict, margin }: Judged, none: Words = ''): Words =>
  verdict === null ? none : { text: inTable(verdictWords(verdict, margin)), is: verdict };

/** SHORT in capitals: visible without colour. */
export const inTable = (verdict: string): string =>
  verdict.replace(/\bshort\b/, 'SHORT').replace(/ to spare$/, '');

type Judged = { readonly verdict: Verdict | null; readonly margin: number | null };

/** The verdict on a mic, also where it has none. */
export function micVerdict(mic: MicRow): string {
  if (mic.purpose !== 'parts') return 'not judged';
  if (mic.verdict === null) return 'not judged';
  if (mic.margin !== null) return verdictWords(mic.verdict, mic.margin);
  return mic.verdict === 'clear' ? 'clear, no bleed' : 'short, no signal';
}

/** "250 Hz to 4 kHz" for octaves in a row, else each by name. */
export function octaves(nominal: readonly number[], all: readonly number[]): string {
  if (nominal.length === all.length) return 'all octaves';
  const start = all.indexOf(nominal[0] ?? 0);
  const inARow = nominal.every((hertz, i) => hertz === all[start + i]);
  const names = nominal.map(hertzName);
  return inARow && names.length > 1 ? `${names[0]} to ${names.at(-1)}` : names.join(', ');
}

export const hertzName = (hertz: number): string => (hertz < 1000 ? `${hertz} Hz` : `${hertz / 1000} kHz`);

/** Over a column: "500", "2k". */
export const bandHead = (hertz: number): string => hertzName(hertz).replace(/ |Hz/g, '');

export const counted = (count: number, one: string, several = `${one}s`): string =>
  `${count} ${count === 1 ? one : several}`;

/** RT60 as measured, else as predicted: the mean of 500 Hz and 1 kHz, s. */
export const middleTime = ({ measured, eyring }: Pick<RoomRow, 'measured' | 'eyring'>): number =>
  middleMean(measured ?? eyring);

/** The weakest of several, in words; nothing of none. */
export function weakest(origins: readonly Origin[]): string {
  const grades = ['estimate', 'unverified', 'published'] as const satisfies readonly Grade[];
  return grades.find((grade) => origins.some((origin) => origin.grade === grade)) ?? '';
}

/** Warnings about the plan, then those of safety and of how limits are judged. */
export const warningsOf = ({
  planWarnings,
  cautions,
}: Pick<Report, 'planWarnings' | 'cautions'>): Finding[] => [...planWarnings, ...cautions];

/** A warning, and its fix. */
export const cautionWords = ({ message, fix }: Pick<Finding, 'message' | 'fix'>): string =>
  fix ? `${message}; ${fix}` : message;
