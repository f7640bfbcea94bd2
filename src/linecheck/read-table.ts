/** A table of readings: a row for each who played, a column for each microphone, perhaps a row for each octave. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Finding, FindingCode } from '../finding.ts';
import { bandCell, levelCell } from './level-cell.ts';
import type { Entry, Layer, Named } from './readings.ts';
import { MOST_CELLS, separated, type TextCell } from './separated.ts';

export type Table = { readonly entries: readonly Entry[]; readonly findings: readonly Finding[] };

type Job = { readonly file: string; readonly findings: Finding[] };

/** `file` is what messages call the text. */
export function readTable(text: string, file: string): Table {
  const job: Job = { file, findings: [] };
  const { lines, open, beyond } = separated(text);
  if (beyond !== null) {
    const message = `holds more than ${MOST_CELLS} cells: no more are read`;
    refuse(job, 'BAD_RANGE', beyond, message, 'give only what was read of the microphones of the plan');
    return { entries: [], findings: job.findings };
  }
  if (open !== null)
    refuse(job, 'WRONG_SHAPE', open, 'this quote is never closed', 'put a second one behind the cell');
  const [head, ...rows] = lines;
  if (!head || head.length < 2 || rows.length === 0) {
    if (open === null) refuse(job, 'WRONG_SHAPE', 0, 'holds no readings', SHAPE);
    return { entries: [], findings: job.findings };
  }
  const bandAt = head.findIndex((cell, i) => i > 0 && cell.text.toLowerCase() === 'band');
  checkHeads(job, head, bandAt);
  const entries = rows.flatMap((row) => entriesOf(job, head, row, bandAt));
  return { entries, findings: job.findings };
}

const SHAPE =
  'first a line of names: played, then microphones; then a line for each who played, with levels in dB';

function refuse(
  { file, findings }: Job,
  code: FindingCode,
  offset: number,
  message: string,
  mend: string,
): void {
  findings.push({ code, severity: 'error', path: [], message, mend, file, offset });
}

function checkHeads(job: Job, head: readonly TextCell[], bandAt: number): void {
  const seen = new Set<string>();
  for (const [i, { text, offset }] of head.entries()) {
    if (i === 0 || i === bandAt) continue;
    if (text === '')
      refuse(
        job,
        'WRONG_SHAPE',
        offset,
        `column ${i + 1} has no name`,
        'write the microphone above its levels',
      );
    else if (seen.has(text))
      refuse(job, 'BAD_NAME', offset, `column ${text} stands twice`, 'take one of the two out');
    seen.add(text);
  }
}

function entriesOf(job: Job, head: readonly TextCell[], row: readonly TextCell[], bandAt: number): Entry[] {
  const [first] = row;
  const who = named(job, first as TextCell);
  const at = first?.offset ?? 0;
  if (who.name === '') {
    refuse(job, 'WRONG_SHAPE', at, 'nothing says who played', 'write a player or source first');
    return [];
  }
  if (row.length !== head.length) {
    const message = `row ${who.name} has ${row.length} cells, the line of names ${head.length}`;
    refuse(job, 'WRONG_SHAPE', at, message, 'an empty cell, or -, stands for a gap');
    return [];
  }
  const layer = bandAt < 0 ? null : layerOf(job, who.name, row[bandAt] as TextCell);
  if (layer === undefined) return [];
  return row.flatMap((cell, i) => {
    const mic = head[i] as TextCell;
    if (i === 0 || i === bandAt || mic.text === '') return [];
    return entryOf(job, who, named(job, mic), layer, cell) ?? [];
  });
}

const named = ({ file }: Job, { text, offset }: TextCell): Named => ({ name: text, place: { file, offset } });

function layerOf(job: Job, who: string, { text, offset }: TextCell): Layer | undefined {
  const band = bandCell(text);
  if (band !== null) return band;
  const message = `row ${who}, column band: ${JSON.stringify(text)} is no octave`;
  refuse(job, 'BAD_RANGE', offset, message, `write one of ${NOMINAL_BANDS.join(', ')} in Hz`);
  return undefined;
}

function entryOf(job: Job, who: Named, mic: Named, layer: Layer, { text, offset }: TextCell): Entry | null {
  const read = levelCell(text);
  const place = { file: job.file, offset };
  if (read.ok) return { who, mic, layer, level: read.level, unit: read.unit, place };
  refuse(job, 'BAD_QUANTITY', offset, `row ${who.name}, column ${mic.name}: ${read.message}`, read.mend);
  return null;
}
