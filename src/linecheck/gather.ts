/** Levels as they were written, to readings: names looked up, and what no fit could use refused, each with its place. */
import type { Weighting } from '../acoustics/weighting.ts';
import type { Finding } from '../finding.ts';
import { mendedName } from '../plan/did-you-mean.ts';
import type { Scene } from '../scene/scene.ts';
import { complaint } from './complaint.ts';
import { columnsByName, NOISE, sourcesByName } from './names.ts';
import type { Column, Entry, Layer, Named, Readings, Row } from './readings.ts';
import { refuseUnusable } from './unusable.ts';

export type Gathered = { readonly readings: Readings | null; readonly findings: readonly Finding[] };

export function gather(entries: readonly Entry[], scene: Scene): Gathered {
  const findings: Finding[] = [];
  const known = { rows: sourcesByName(scene), columns: columnsByName(scene) };
  const rows = rowsOf(entries, known.rows, findings);
  const columns = columnsOf(entries, known.columns, findings);
  const layers = layersOf(entries, findings);
  const weighting = weightingOf(entries, findings);
  refuseTwice(entries, findings);
  if (findings.length > 0) return { readings: null, findings };
  const heard = columns.filter(({ capsules }) => capsules.length > 0);
  const passedOver = columns.filter(({ capsules }) => capsules.length === 0).map(({ name }) => name);
  const readings = fill(entries, { rows, columns: heard, layers, weighting, passedOver });
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
    const message = `nobody plays in these readings: there is only ${NOISE}`;
    findings.push(complaint('MISSING', (entries[0] as Entry).place, message, 'add a row for each player'));
  }
  return played.flatMap((who) => {
    const sources = known.get(who.name);
    if (sources) return { name: who.name, sources };
    findings.push(stranger('player, source, kit or part', who, [...known.keys(), NOISE]));
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
    findings.push(stranger('microphone in use', mic, [...known.keys()]));
    return [];
  });
}

function stranger(what: string, named: Named, known: readonly string[]): Finding {
  return complaint(
    'UNKNOWN_NAME',
    named.place,
    `the plan has no ${what} "${named.name}"`,
    mendedName(named.name, known),
  );
}

/** Octaves in their order, or all together; some of each cannot be added up. */
function layersOf(entries: readonly Entry[], findings: Finding[]): Layer[] {
  const layers = [...new Set(entries.map(({ layer }) => layer))];
  const broad = entries.find(({ layer }) => layer === null);
  if (layers.length > 1 && broad) {
    const message = `row ${broad.who.name} is over all octaves, others are by octave`;
    findings.push(
      complaint('WRONG_SHAPE', broad.place, message, 'give either all readings by octave or none'),
    );
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
    const message = `row ${other.who.name}, column ${other.mic.name} is in ${own}, row ${first.who.name}, column ${first.mic.name} in ${before}`;
    findings.push(complaint('BAD_QUANTITY', other.place, message, 'give all readings in one unit'));
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
      const message = `row ${who.name}, column ${mic.name} was read twice`;
      findings.push(complaint('BAD_NAME', entry.place, message, 'keep one of the two'));
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
