/** Readings that say nothing: a row or column of gaps, a channel that reads the same whoever plays. */
import type { Finding } from '../finding.ts';
import { complaint } from './complaint.ts';
import { cellAt, type Entry, type Named, type Readings } from './readings.ts';

/** Players from which a channel that reads the same for all of them is taken for dead. */
const TELLING = 4;

export function refuseUnusable(readings: Readings, entries: readonly Entry[], findings: Finding[]): void {
  const { rows, columns, levels } = readings;
  const first = entries[0];
  if (first && levels.every(Number.isNaN)) {
    const message = 'there is not one reading at a microphone: all are gaps';
    findings.push(complaint('MISSING', first.place, message, 'write levels in dB'));
    return;
  }
  const asked = <T extends { name: string }>(list: readonly T[], of: (entry: Entry) => Named) =>
    list.flatMap(({ name }, i) => {
      const named = entries.map(of).find((one) => one.name === name);
      return named ? [{ i, ...named }] : [];
    });
  for (const { i, name, place } of asked(rows, ({ who }) => who)) {
    if (columns.some((_, c) => !isGap(readings, i, c))) continue;
    findings.push(complaint('MISSING', place, `row ${name} has no reading at all`, AGAIN));
  }
  for (const { i, name, place } of asked(columns, ({ mic }) => mic)) {
    const read = [...rows.keys()].filter((row) => !isGap(readings, row, i));
    const message = `column ${name} reads the same whoever plays`;
    if (read.length === 0)
      findings.push(complaint('MISSING', place, `column ${name} has no reading at all`, AGAIN));
    else if (isConstant(readings, read, i)) findings.push(complaint('BAD_RANGE', place, message, MOVES));
  }
}

const AGAIN = 'read it again, or take it out';
const MOVES = 'see that the channel is open and its meter moves';

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
