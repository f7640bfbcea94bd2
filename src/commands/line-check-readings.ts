/** Readings of the day from their files; what is wrong with them is said. */
import type { Finding } from '../finding.ts';
import { announce } from '../io/progress.ts';
import { readText } from '../io/read.ts';
import { unreadable } from '../io/refusal.ts';
import { say } from '../io/streams.ts';
import { openFile, type ReadingFiles, readingFiles, type TakeName } from '../io/take-files.ts';
import { gather } from '../linecheck/gather.ts';
import { grouped } from '../linecheck/grouped.ts';
import { readTable } from '../linecheck/read-table.ts';
import { readTake } from '../linecheck/read-takes.ts';
import type { Entry, Readings } from '../linecheck/readings.ts';
import { MOST_TOLD } from '../plan/first-faults.ts';
import { frame, spotAt } from '../plan/frame.ts';
import type { Scene } from '../scene/scene.ts';
import { refuse } from './refuse.ts';

type Text = { readonly name: string; readonly text: string };

/** Null where they were refused: why has then been said on standard error. */
export async function readReadings(asked: readonly string[], scene: Scene): Promise<Readings | null> {
  const files = readingFiles(asked);
  const texts: Text[] = [];
  const findings: Finding[] = [...files.findings, ...mixed(files)];
  const entries: Entry[] = [];
  if (findings.length === 0) {
    // one by one: as arguments of one call some hundred thousand would not fit on the stack
    for (const file of files.tables)
      for (const entry of await tableIn(file, texts, findings)) entries.push(entry);
    for (const entry of takesIn(files.takes, scene, findings)) entries.push(entry);
  }
  const gathered = gather(entries, scene);
  // of what is broken only the names can be judged: what else seems to be amiss may be there once it is mended
  const further = gathered.findings.filter(({ code }) => findings.length === 0 || code === 'UNKNOWN_NAME');
  await tell([...findings, ...further], texts);
  return findings.length === 0 ? gathered.readings : null;
}

/** Tables and takes are on different scales: neither says what the gains of the other were. */
function mixed({ tables, takes }: ReadingFiles): Finding[] {
  if (tables.length === 0 || takes.length === 0) return [];
  const message = `${tables[0]} is a table and ${takes[0]?.file} a take: their levels are on different scales`;
  return [
    { code: 'WRONG_SHAPE', severity: 'error', path: [], message, mend: 'give tables or takes, not both' },
  ];
}

async function tableIn(file: string, texts: Text[], findings: Finding[]): Promise<readonly Entry[]> {
  const name = file === '-' ? 'standard input' : file;
  const input = await readText(file);
  if ('problem' in input) {
    findings.push(unreadable(name, input.problem));
    return [];
  }
  texts.push({ name, text: input.text });
  const table = readTable(input.text, name);
  for (const finding of table.findings) findings.push(finding);
  return table.entries;
}

function takesIn(takes: readonly TakeName[], scene: Scene, findings: Finding[]): Entry[] {
  return [...grouped(takes, ({ who }) => who)].flatMap(([who, files]) => {
    const done = announce(`listening to ${who} …`);
    const opened = files.flatMap((file) => {
      const bytes = openFile(file.file);
      if ('size' in bytes) return [{ ...file, bytes }];
      findings.push(bytes);
      return [];
    });
    const read = readTake(opened, scene);
    for (const { bytes } of opened) bytes.close();
    done();
    findings.push(...read.findings);
    return read.entries;
  });
}

/** In the order of their places, each with its line of the table where it stands in one. */
async function tell(findings: readonly Finding[], texts: readonly Text[]): Promise<void> {
  const sorted = findings.toSorted((a, b) => (a.offset ?? 0) - (b.offset ?? 0));
  for (const finding of sorted.slice(0, MOST_TOLD)) {
    const text = texts.find(({ name }) => name === finding.file);
    if (text && finding.offset !== undefined) await say(frame(finding, spotAt(text, finding.offset)));
    else await refuse(finding);
  }
  const more = sorted.length - MOST_TOLD;
  if (more > 0) await say(`and ${more} more faults, which are told once these are mended\n`);
}
