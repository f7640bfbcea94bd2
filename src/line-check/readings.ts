/** Tables and takes -> readings; names, noise, refusals. */
import { energyOf, NOMINAL_BANDS, type Weighting } from '../acoustics/bands.ts';
import { type Finding, type FindingCode, takes } from '../finding.ts';
import { type CsvCell, MOST_CELLS, readCsv } from '../plan/csv.ts';
import type { Mic, Scene } from '../scene/scene.ts';
import type { TableCell } from '../statistics.ts';
import { unknownName } from '../text.ts';

export type Covering = { readonly rows: readonly number[]; readonly lacking: readonly number[] };

/** Rows that together hold these sources and no other, the largest first, no source twice; and sources in none. */
export function covering(rows: readonly Row[], sources: readonly number[]): Covering {
  const left = new Set(sources);
  const within = [...rows.keys()]
    .filter((row) => rows[row]?.sources.every((source) => left.has(source)))
    .sort((a, b) => (rows[b]?.sources.length ?? 0) - (rows[a]?.sources.length ?? 0));
  const taken = within.filter((row) => {
    const { sources: held } = rows[row] as Row;
    if (!held.every((source) => left.has(source))) return false;
    for (const source of held) left.delete(source);
    return true;
  });
  return { rows: taken, lacking: [...left] };
}

type Refused = { readonly problem: string; readonly fix: string };

/**
 * Of a file of one mic: itself, or the two of a pair. Of a file of all: by the plan's `channel` keys, the k-th channel being
 * that of number k, or, where the file holds just as many as the plan names, in the order of their numbers; without such keys
 * in the order of the plan, lines and both capsules of a pair counted. A channel that is no microphone's is ''.
 */
export function channelNames(scene: Scene, mic: string | null, count: number): readonly string[] | Refused {
  return mic === null ? channelsOfAll(scene, count) : channelsOfOne(scene, mic, count);
}

function channelsOfOne({ mics, capsules }: Scene, name: string, count: number): readonly string[] | Refused {
  const mic = mics.find((one) => one.name === name);
  const halves = mic && mic.capsules.length === 2 ? namesOf(mic, capsules) : [name];
  if (count === halves.length) return halves;
  if (count === 1) return [name];
  return {
    problem: `has ${channels(count)}, but is named after one mic`,
    fix: 'export one channel per file',
  };
}

const namesOf = (mic: Mic, capsules: Scene['capsules']): string[] =>
  mic.line ? [mic.name] : mic.capsules.map((i) => capsules[i]?.name ?? '');

function channelsOfAll({ mics, capsules }: Scene, count: number): readonly string[] | Refused {
  const all = mics.flatMap((mic) =>
    namesOf(mic, capsules).map((name, i) => ({ name, number: Number(mic.channels[i]) })),
  );
  const numbered = all.filter(({ number }) => Number.isInteger(number) && number > 0);
  if (numbered.length === 0) {
    if (count === all.length) return all.map(({ name }) => name);
    const order = all.map(({ name }) => name).join(', ');
    return {
      problem: `has ${channels(count)}; the plan has ${all.length} mics and DIs: ${order}`,
      fix: 'give the mics `channel` keys, or export a file per mic: player/mic.wav',
    };
  }
  const sorted = numbered.toSorted((a, b) => a.number - b.number);
  const highest = sorted.at(-1)?.number ?? 0;
  if (count === sorted.length) return sorted.map(({ name }) => name);
  if (count >= highest)
    return Array.from({ length: count }, (_, i) => sorted.find(({ number }) => number === i + 1)?.name ?? '');
  return {
    problem: `has ${channels(count)}; the channel keys of the plan go up to ${highest}`,
    fix: 'export all channels, or a file per mic: player/mic.wav',
  };
}

const channels = (count: number): string => `${count} channel${count === 1 ? '' : 's'}`;

type Table = { readonly entries: readonly Entry[]; readonly findings: readonly Finding[] };
type Job = { readonly file: string; readonly findings: Finding[] };

/** `file` is what messages call the text. */
export function readTable(text: string, file: string): Table {
  takes('readTable', 'the text of a table', text, 'string');
  const job: Job = { file, findings: [] };
  const { lines, stop } = readCsv(text);
  if (stop?.why === 'too many cells') {
    const message = `more than ${MOST_CELLS} cells`;
    refuse(job, 'OUT_OF_RANGE', stop.offset, message, 'keep only readings at mics of the plan');
    return { entries: [], findings: job.findings };
  }
  if (stop)
    refuse(job, 'WRONG_TYPE', stop.offset, 'unclosed quote', 'close the quote at the end of the cell');
  const [head, ...rows] = lines.map(({ cells }) => cells);
  if (!head || head.length < 2 || rows.length === 0) {
    if (!stop) refuse(job, 'WRONG_TYPE', 0, 'no readings', SHAPE);
    return { entries: [], findings: job.findings };
  }
  const bandAt = head.findIndex((cell, i) => i > 0 && cell.text.toLowerCase() === 'band');
  checkHeads(job, head, bandAt);
  const entries = rows.flatMap((row) => entriesOf(job, head, row, bandAt));
  return { entries, findings: job.findings };
}

const NAMELESS = 'write the mic name above its levels';

const SHAPE = 'write a first row with played and the mic names, then a row per player with levels in dB';

const refuse = ({ file, findings }: Job, code: FindingCode, offset: number, message: string, fix: string) =>
  findings.push(readingError(code, { file, offset }, message, fix));

function checkHeads(job: Job, head: readonly CsvCell[], bandAt: number): void {
  const seen = new Set<string>();
  for (const [i, { text, offset }] of head.entries()) {
    if (i === 0 || i === bandAt) continue;
    if (text === '') refuse(job, 'WRONG_TYPE', offset, `column ${i + 1} has no name`, NAMELESS);
    else if (seen.has(text))
      refuse(job, 'BAD_NAME', offset, `duplicate column ${text}`, 'delete one of the two');
    seen.add(text);
  }
}

function entriesOf(job: Job, head: readonly CsvCell[], row: readonly CsvCell[], bandAt: number): Entry[] {
  const [first] = row;
  const who = named(job, first as CsvCell);
  const at = first?.offset ?? 0;
  if (who.name === '') {
    refuse(job, 'WRONG_TYPE', at, 'row without a player', 'write a player or source in the first cell');
    return [];
  }
  if (row.length !== head.length) {
    const message = `row ${who.name} has ${row.length} cells, the first row ${head.length}`;
    refuse(job, 'WRONG_TYPE', at, message, 'leave the cell of a missing reading empty, or write -');
    return [];
  }
  const layer = bandAt < 0 ? null : layerOf(job, who.name, row[bandAt] as CsvCell);
  if (layer === undefined) return [];
  return row.flatMap((cell, i) => {
    const mic = head[i] as CsvCell;
    if (i === 0 || i === bandAt || mic.text === '') return [];
    return entryOf(job, who, named(job, mic), layer, cell) ?? [];
  });
}

const named = ({ file }: Job, { text, offset }: CsvCell): Named => ({ name: text, place: { file, offset } });

function layerOf(job: Job, who: string, { text, offset }: CsvCell): Layer | undefined {
  const band = bandCell(text);
  if (band !== null) return band;
  const message = `row ${who}, column band: ${JSON.stringify(text)} is not an octave`;
  refuse(job, 'OUT_OF_RANGE', offset, message, `write one of ${NOMINAL_BANDS.join(', ')} in Hz`);
  return undefined;
}

function entryOf(job: Job, who: Named, mic: Named, layer: Layer, { text, offset }: CsvCell): Entry | null {
  const read = levelCell(text);
  const place = { file: job.file, offset };
  if (read.ok) return { who, mic, layer, level: read.level, unit: read.unit, place };
  refuse(job, 'BAD_VALUE', offset, `row ${who.name}, column ${mic.name}: ${read.message}`, read.fix);
  return null;
}

type LevelCell =
  | { readonly ok: true; readonly level: number | null; readonly unit: string }
  | { readonly ok: false; readonly message: string; readonly fix: string };

/** Further from nothing than this no scale of levels reaches, dB. */
const FURTHEST = 300;
const FIGURE = /^([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?)\s*(db[^\d]*)?$/i;
/** Digital silence is no reading: nothing was heard. */
const NOTHING = /^(?:|-+|n\/?a|[+-]?(?:inf(?:inity)?|∞)(?:\s*db.*)?)$/i;

function levelCell(text: string): LevelCell {
  const plain = text.replace(/[−–—]/g, '-');
  if (NOTHING.test(plain)) return { ok: true, level: null, unit: '' };
  const [whole, digits = '', unit = ''] = FIGURE.exec(plain) ?? [];
  const level = Number(digits.replace(',', '.'));
  const fix = 'write a value such as -23.4, or leave the cell empty';
  if (whole === undefined) return { ok: false, message: `${JSON.stringify(text)} is not a level in dB`, fix };
  if (Math.abs(level) > FURTHEST)
    return { ok: false, message: `${text} is outside -${FURTHEST} to ${FURTHEST} dB`, fix };
  return { ok: true, level, unit: unit.toLowerCase().replace(/[\s()]/g, '') };
}

/** An octave by its nominal name: `63`, `1000 Hz`, `1k`, `1 kHz`, Null for any other, such as `31.5`. */
function bandCell(text: string): number | null {
  const [, digits = '', kilo = ''] = /^(\d+(?:[.,]\d+)?)\s*(k?)(?:hz)?$/i.exec(text.trim()) ?? [];
  const hertz = Number(digits.replace(',', '.')) * (kilo === '' ? 1 : 1000);
  const band = NOMINAL_BANDS.findIndex((nominal) => Math.abs(nominal - hertz) < 0.5);
  return band < 0 ? null : band;
}

type Matched = { readonly readings: Readings | null; readonly findings: readonly Finding[] };

export function matchReadings(entries: readonly Entry[], scene: Scene): Matched {
  takes('matchReadings', 'a list of entries, of readTable', entries, 'list');
  takes('matchReadings', 'a scene', scene, ['sources', 'capsules']);
  const findings: Finding[] = [];
  const known = { rows: sourcesByName(scene), columns: columnsByName(scene) };
  const rows = rowsOf(entries, known.rows, findings);
  const columns = columnsOf(entries, known.columns, findings);
  const layers = layersOf(entries, findings);
  const weighting = weightingOf(entries, findings);
  refuseTwice(entries, findings);
  if (findings.length > 0) return { readings: null, findings };
  const heard = columns.filter(({ capsules }) => capsules.length > 0);
  const skipped = columns.filter(({ capsules }) => capsules.length === 0).map(({ name }) => name);
  const readings = fill(entries, { rows, columns: heard, layers, weighting, skipped });
  refuseUnusable(readings, entries, findings);
  return { readings: findings.length > 0 ? null : readings, findings };
}

const firstOfEach = (named: readonly Named[]): Named[] =>
  [...new Map([...named].reverse().map((one) => [one.name, one])).values()].reverse();

function rowsOf(
  entries: readonly Entry[],
  known: Map<string, readonly number[]>,
  findings: Finding[],
): Row[] {
  const played = firstOfEach(entries.map(({ who }) => who)).filter(({ name }) => name !== NOISE);
  if (entries.length > 0 && played.length === 0) {
    const message = `no player in these readings, only ${NOISE}`;
    findings.push(readingError('MISSING_KEY', (entries[0] as Entry).place, message, 'add a row per player'));
  }
  return played.flatMap((who) => {
    const sources = known.get(who.name);
    if (sources) return { name: who.name, sources };
    findings.push(unknownIn('player, source, kit or part', who, [...known.keys(), NOISE]));
    return [];
  });
}

function columnsOf(
  entries: readonly Entry[],
  known: ReturnType<typeof columnsByName>,
  findings: Finding[],
): Column[] {
  return firstOfEach(entries.map(({ mic }) => mic)).flatMap((mic) => {
    const column = known.get(mic.name);
    if (column) return { name: mic.name, ...column };
    findings.push(unknownIn('mic in use', mic, [...known.keys()]));
    return [];
  });
}

const unknownIn = (what: string, { name, place }: Named, known: readonly string[]): Finding => ({
  ...unknownName(null, { what, name, known }),
  ...place,
});

/** Octaves in their order, or all together; some of each cannot be added up. */
function layersOf(entries: readonly Entry[], findings: Finding[]): Layer[] {
  const layers = [...new Set(entries.map(({ layer }) => layer))];
  const broad = entries.find(({ layer }) => layer === null);
  if (layers.length > 1 && broad) {
    const message = `row ${broad.who.name} is over all octaves, other rows are by octave`;
    const fix = 'give all readings by octave, or none';
    findings.push(readingError('WRONG_TYPE', broad.place, message, fix));
  }
  return layers.sort((a, b) => (a ?? -1) - (b ?? -1));
}

const SPELT: Readonly<Record<string, string>> = { db: 'dB', dba: 'dBA', dbc: 'dBC' };
const WEIGHTING_OF: Readonly<Record<string, Weighting>> = { dba: 'A', dbc: 'C' };

/** The one unit that was written; cells without are taken to be in it. */
function weightingOf(entries: readonly Entry[], findings: Finding[]): Weighting {
  const first = entries.find(({ unit }) => unit !== '');
  const other = entries.find(({ unit }) => unit !== '' && unit !== first?.unit);
  if (first && other) {
    const [own, before] = [other, first].map(({ unit }) => SPELT[unit] ?? unit);
    const message = `row ${other.who.name}, column ${other.mic.name} is in ${own}; row ${first.who.name}, column ${first.mic.name} in ${before}`;
    findings.push(readingError('BAD_VALUE', other.place, message, 'give all readings in one unit'));
  }
  return WEIGHTING_OF[first?.unit ?? ''] ?? 'Z';
}

function refuseTwice(entries: readonly Entry[], findings: Finding[]): void {
  const seen = new Set<string>();
  const told = new Set<string>();
  for (const entry of entries) {
    const { who, mic, layer } = entry;
    const key = JSON.stringify([who.name, mic.name, layer]);
    if (seen.has(key) && !told.has(who.name)) {
      told.add(who.name);
      const message = `duplicate reading: row ${who.name}, column ${mic.name}`;
      findings.push(readingError('BAD_NAME', entry.place, message, 'delete one of the two'));
    }
    seen.add(key);
  }
}

function fill(entries: readonly Entry[], frame: Omit<Readings, 'levels' | 'noise'>): Readings {
  const { rows, columns, layers } = frame;
  const place = <T extends { name: string }>(list: readonly T[]) =>
    new Map(list.map(({ name }, i) => [name, i]));
  const [rowAt, columnAt] = [place(rows), place(columns)];
  const levels = new Float64Array(rows.length * columns.length * layers.length).fill(Number.NaN);
  const noise = new Float64Array(columns.length * layers.length).fill(Number.NaN);
  for (const { who, mic, layer, level } of entries) {
    const column = columnAt.get(mic.name);
    const row = rowAt.get(who.name);
    if (column === undefined || level === null) continue;
    const within = column * layers.length + layers.indexOf(layer);
    if (row === undefined) noise[within] = level;
    else levels[row * columns.length * layers.length + within] = level;
  }
  return { ...frame, levels, noise };
}

/** Players from which a channel that reads the same for all of them is taken for dead. */
const TELLING = 4;

function refuseUnusable(readings: Readings, entries: readonly Entry[], findings: Finding[]): void {
  const { rows, columns, levels } = readings;
  const first = entries[0];
  if (first && levels.every(Number.isNaN)) {
    const message = 'no readings: every cell at a mic is empty';
    findings.push(readingError('MISSING_KEY', first.place, message, 'write levels in dB'));
    return;
  }
  const asked = <T extends { name: string }>(list: readonly T[], of: (entry: Entry) => Named) =>
    list.flatMap(({ name }, i) => {
      const named = entries.map(of).find((one) => one.name === name);
      return named ? [{ i, ...named }] : [];
    });
  for (const { i, name, place } of asked(rows, ({ who }) => who)) {
    if (columns.some((_, c) => !isGap(readings, i, c))) continue;
    findings.push(readingError('MISSING_KEY', place, `row ${name} is empty`, AGAIN));
  }
  for (const { i, name, place } of asked(columns, ({ mic }) => mic)) {
    const read = [...rows.keys()].filter((row) => !isGap(readings, row, i));
    const message = `column ${name} has the same level whoever plays`;
    if (read.length === 0)
      findings.push(readingError('MISSING_KEY', place, `column ${name} is empty`, AGAIN));
    else if (isConstant(readings, read, i))
      findings.push(readingError('OUT_OF_RANGE', place, message, MOVES));
  }
}

const AGAIN = 'measure it or delete it';
const MOVES = 'check that the channel is open and its meter moves';

const isGap = (readings: Readings, row: number, column: number): boolean =>
  layersAt(readings, row, column).every(Number.isNaN);

const layersAt = (readings: Readings, row: number, column: number): number[] =>
  readings.layers.map((_, layer) => readings.levels[cellAt(readings, row, column, layer)] ?? Number.NaN);

/** Fewer players may read alike by chance, unless that is the noise's reading too. */
function isConstant(readings: Readings, read: readonly number[], column: number): boolean {
  const { noise, layers } = readings;
  const byRow = read.map((row) => layersAt(readings, row, column));
  const alike = (levels: readonly number[]) => levels.every((level, i) => Object.is(level, byRow[0]?.[i]));
  const still = layers.map((_, layer) => noise[column * layers.length + layer] ?? Number.NaN);
  return byRow.every(alike) && (read.length >= TELLING || (read.length > 1 && alike(still)));
}

/** Row of a table, or take, in which nobody plays. */
export const NOISE = 'noise';

/** Players, parts, kits and sources by name; of equal names a source comes before a kit, that before a part, then a player. */
function sourcesByName({ players, parts, sources }: Scene): Map<string, readonly number[]> {
  const where = (holds: (source: Scene['sources'][number]) => boolean): number[] =>
    sources.flatMap((source, i) => (holds(source) && !source.repeats ? [i] : []));
  const kits = [...new Set(sources.flatMap(({ kit }) => kit ?? []))];
  const names = new Map<string, readonly number[]>([
    ...players.map(({ name }, i) => [name, where(({ player }) => player === i)] as const),
    ...parts.map((part) => [part.name, part.sources.filter((i) => !sources[i]?.repeats)] as const),
    ...kits.map((name) => [name, where(({ kit }) => kit === name)] as const),
    ...sources.map(({ name }, i) => [name, [i]] as const),
  ]);
  return new Map([...names].filter(([, of]) => of.length > 0));
}

/** What a column may be called; no capsules for a DI. */
function columnsByName({ mics, capsules }: Scene): Map<string, { mic: number; capsules: readonly number[] }> {
  const single = capsules.map(({ name, mic }, i) => [name, { mic, capsules: [i] }] as const);
  return new Map([
    ...single,
    ...mics.map(({ name, capsules: of }, mic) => [name, { mic, capsules: of }] as const),
  ]);
}

/** What is wrong with readings, where they stand. */
export const readingError = (code: FindingCode, place: Place, message: string, fix: string): Finding => ({
  code,
  severity: 'error',
  path: [],
  message,
  fix,
  ...place,
});

export type Group = { readonly rows: readonly number[]; readonly columns: readonly number[] };

/** Connected components of the graph that has a reading as its edge; what was not read is in none. */
export function groupsOf(readings: readonly TableCell[]): Group[] {
  const groups: { rows: Set<number>; columns: Set<number> }[] = [];
  for (const { row, column } of readings) {
    const met = groups.filter(({ rows, columns }) => rows.has(row) || columns.has(column));
    const [into, ...others] = met;
    if (!into) {
      groups.push({ rows: new Set([row]), columns: new Set([column]) });
      continue;
    }
    into.rows.add(row);
    into.columns.add(column);
    for (const other of others) {
      for (const one of other.rows) into.rows.add(one);
      for (const one of other.columns) into.columns.add(one);
      groups.splice(groups.indexOf(other), 1);
    }
  }
  const ascending = (set: Set<number>) => [...set].sort((a, b) => a - b);
  return groups.map(({ rows, columns }) => ({ rows: ascending(rows), columns: ascending(columns) }));
}

export type Cell = {
  readonly row: number;
  readonly column: number;
  readonly layer: number;
  /** Index into what is packed as the readings are. */
  readonly at: number;
  /** Without the noise, dB on the scale of its column. */
  readonly level: number;
  /** Standard deviation, dB: that of a reading, more where the noise is near. */
  readonly sigma: number;
};

type Cells = {
  readonly cells: readonly Cell[];
  /** Readings left out because they are less than `ABOVE_NOISE` above the noise. */
  readonly belowNoise: readonly { readonly row: number; readonly column: number; readonly layer: number }[];
};

/** Of one reading: a meter read by eye over some seconds of playing, dB. Common practice, no source. */
export const READING_SIGMA = 1;
/** Nearer to the noise than this no correction for it holds, dB. ISO 3744, unverified. */
const ABOVE_NOISE = 6;

/** Readings above the noise. */
export function normalizedReadings(readings: Readings): Cells {
  const cells: Cell[] = [];
  const belowNoise: Cells['belowNoise'][number][] = [];
  for (const row of readings.rows.keys()) {
    for (const column of readings.columns.keys()) {
      for (const layer of readings.layers.keys()) {
        const at = cellAt(readings, row, column, layer);
        const read = readings.levels[at] as number;
        if (Number.isNaN(read)) continue;
        const cleaned = without(read, readings.noise[column * readings.layers.length + layer] as number);
        if (cleaned) cells.push({ row, column, layer, at, ...cleaned });
        else belowNoise.push({ row, column, layer });
      }
    }
  }
  return { cells, belowNoise };
}

/**
 * The level less the noise as energies. Both readings are uncertain alike and independent of each other, so that the
 * difference has `σ·√(E² + N²)/(E − N)`.
 */
function without(read: number, noise: number): Pick<Cell, 'level' | 'sigma'> | null {
  if (Number.isNaN(noise)) return { level: read, sigma: READING_SIGMA };
  if (read - noise < ABOVE_NOISE) return null;
  const share = energyOf(noise - read);
  return {
    level: read + 10 * Math.log10(1 - share),
    sigma: (READING_SIGMA * Math.hypot(1, share)) / (1 - share),
  };
}

/** A player, source, kit or part that played alone. */
export type Row = { readonly name: string; readonly sources: readonly number[] };
/** A capsule, or a pair taken as the sum of its two. */
type Column = { readonly name: string; readonly mic: number; readonly capsules: readonly number[] };
/** One octave by its number, or all octaves together. */
export type Layer = number | null;

export type Readings = {
  readonly rows: readonly Row[];
  readonly columns: readonly Column[];
  readonly layers: readonly Layer[];
  /** Of what was read over all octaves: none, A or C. */
  readonly weighting: Weighting;
  /** dB on a scale of its own for each column, packed [row][column][layer]; NaN for a gap. */
  readonly levels: Float64Array;
  /** The same with nobody playing, packed [column][layer]; NaN where it was not read. */
  readonly noise: Float64Array;
  /** Columns that were skipped, in words: DIs, which pick up nothing by air. */
  readonly skipped: readonly string[];
};

export const cellAt = ({ columns, layers }: Readings, row: number, column: number, layer: number): number =>
  (row * columns.length + column) * layers.length + layer;

export const cellCount = ({ rows, columns, layers }: Readings): number =>
  rows.length * columns.length * layers.length;

/** Where a reading is: in a text at an offset, or a file as a whole. */
type Place = { readonly file: string; readonly offset?: number };

/** One level as it was written or measured, names not yet looked up. */
export type Entry = {
  readonly who: Named;
  readonly mic: Named;
  readonly layer: Layer;
  /** Null for a gap. */
  readonly level: number | null;
  /** As written behind the value; empty where nothing was. */
  readonly unit: string;
  readonly place: Place;
};

/** A name and where it was first written. */
type Named = { readonly name: string; readonly place: Place };
