/** Measured levels from tables and takes; what is wrong with them is said. */
import type { Finding } from '../finding.ts';
import { openFile, readingFiles, readText, type TakeName } from '../io/files.ts';
import { announce, say, unreadable } from '../io/terminal.ts';
import type { OpenPlan } from '../judge/session.ts';
import { measuredLevels, withReadings } from '../line-check/measured-levels.ts';
import { type Entry, matchReadings, type Readings, readTable } from '../line-check/readings.ts';
import { readTake } from '../line-check/recordings.ts';
import { frame, MOST_TOLD, spotAt } from '../plan/document.ts';
import type { Scene } from '../scene/scene.ts';
import { groupBy } from '../statistics.ts';
import { refused } from './output.ts';

/** The plan as it was measured. Null where readings were refused, which has then been said. */
export async function measured<P extends OpenPlan>(open: P, files: readonly string[]): Promise<P | null> {
  const readings = await readReadings(files, open.scene);
  return readings && withReadings(open, measuredLevels(open.scene, readings), files);
}

/** What was read of one file or take. */
type Read = { readonly entries: readonly Entry[]; readonly findings: readonly Finding[] };
type Text = { readonly name: string; readonly text: string };

/** Null where they were refused: why has then been said on standard error. */
export async function readReadings(asked: readonly string[], scene: Scene): Promise<Readings | null> {
  const { tables, takes, findings: unread } = readingFiles(asked);
  const mixed = unread.length === 0 && tables[0] && takes[0] ? [onTwoScales(tables[0], takes[0])] : [];
  const texts: Text[] = [];
  const read: Read[] = [{ entries: [], findings: [...unread, ...mixed] }];
  if (unread.length + mixed.length === 0) {
    for (const file of tables) read.push(await tableIn(file, texts));
    for (const [who, files] of groupBy(takes, ({ who }) => who)) read.push(takeOf(who, files, scene));
  }
  const findings = read.flatMap((one) => one.findings);
  const entries = read.flatMap((one) => one.entries);
  const gathered = matchReadings(entries, scene);
  // of readings with errors only the names can be judged: what else seems to lack may be there once they are fixed
  const further = gathered.findings.filter(({ code }) => findings.length === 0 || code === 'UNKNOWN_NAME');
  await tell([...findings, ...further], texts);
  return findings.length === 0 ? gathered.readings : null;
}

/** Neither a table nor a take says what the gains of the other were. */
function onTwoScales(table: string, { file }: TakeName): Finding {
  const message = `${table} is a table and ${file} a take: their levels are on different scales`;
  const fix = 'give tables or takes, not both';
  return { code: 'WRONG_TYPE', severity: 'error', path: [], message, fix };
}

async function tableIn(file: string, texts: Text[]): Promise<Read> {
  const name = file === '-' ? 'standard input' : file;
  const input = await readText(file);
  if ('problem' in input) return { entries: [], findings: [unreadable(name, input.problem)] };
  texts.push({ name, text: input.text });
  return readTable(input.text, name);
}

function takeOf(who: string, files: readonly TakeName[], scene: Scene): Read {
  const done = announce(`reading takes of ${who} …`);
  const all = files.map((file) => ({ ...file, bytes: openFile(file.file) }));
  const unread = all.flatMap(({ file, bytes }) => ('size' in bytes ? [] : [unreadable(file, bytes.problem)]));
  const opened = all.flatMap(({ bytes, ...file }) => ('size' in bytes ? [{ ...file, bytes }] : []));
  const { entries, findings } = readTake(opened, scene);
  for (const { bytes } of opened) bytes.close();
  done();
  return { entries, findings: [...unread, ...findings] };
}

/** In the order of their places, each with its line of the table where it has one. */
async function tell(findings: readonly Finding[], texts: readonly Text[]): Promise<void> {
  const sorted = findings.toSorted((a, b) => (a.offset ?? 0) - (b.offset ?? 0));
  for (const finding of sorted.slice(0, MOST_TOLD)) {
    const text = texts.find(({ name }) => name === finding.file);
    if (text && finding.offset !== undefined) await say(frame(finding, spotAt(text, finding.offset)));
    else await refused(finding);
  }
  const more = sorted.length - MOST_TOLD;
  if (more > 0) await say(`${more} more errors; fix these first\n`);
}
