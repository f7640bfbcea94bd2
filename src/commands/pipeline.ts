/** `open(plan, readings)` -> plan, scene, energies, report: the only straight line (today examinePlan, openPlan + copies in suggest, compare, try); page settings and delivery. */
import { type Finding, hasErrors } from '../finding.ts';
import { unreadable } from '../io/failures.ts';
import {
  fromHere,
  openFile,
  type ReadingFiles,
  readingFiles,
  readText,
  sameFile,
  studioLoader,
  type TakeName,
  writeFile,
} from '../io/files.ts';
import { announce, clearBeforeAnswers, print, say } from '../io/terminal.ts';
import { filesRead, watch } from '../io/watch.ts';
import { judge } from '../judge/judge.ts';
import type { Report, ToldReadings } from '../judge/report.ts';
import { type Day, dayOf, laidOver } from '../line-check/day.ts';
import { type Entry, gather, type Readings, readTable } from '../line-check/readings.ts';
import { readTake } from '../line-check/recordings.ts';
import type { LengthUnit, MapNode } from '../plan/document.ts';
import type { From } from '../plan/files.ts';
import { frame, MOST_TOLD, spotAt } from '../plan/frame.ts';
import { withEdits } from '../plan/nodes.ts';
import type { PlanData } from '../plan/plan.ts';
import { type ReadPlan, readPlan } from '../plan/read.ts';
import { counted } from '../report/words.ts';
import type { Assumption } from '../scene/context.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { groupBy } from '../statistics.ts';
import { mendedName, visible } from '../text.ts';
import { type Transfer, transfer } from '../transfer/transfer.ts';

/** How far long work is, on one line of a terminal that is rewritten; nothing where nobody looks. */
type Terminal = { readonly isTTY?: boolean; write(text: string): unknown };

type ProgressLine = {
  /** One more done; true now and then, when whoever works should let others in. */
  readonly step: () => boolean;
  readonly end: () => void;
};

/** Milliseconds before the first line, and between two. */
const PAUSE = 300;

export function progressLine(total: number, what: string, terminal: Terminal = process.stderr): ProgressLine {
  let done = 0;
  let last = performance.now();
  let width = 0;
  const step = (): boolean => {
    done++;
    if (performance.now() - last < PAUSE) return false;
    last = performance.now();
    const line = `${done} of ${total} ${what} …`;
    if (terminal.isTTY) terminal.write(`\r${line}`);
    width = line.length;
    return true;
  };
  const end = (): void => {
    if (terminal.isTTY && width > 0) terminal.write(`\r${' '.repeat(width)}\r`);
  };
  return { step, end };
}

// One plan judged, for the commands that answer about one; what is wrong with it is said.

/**
 * With a `passage` it alone is judged. Null where it was refused: why has then been said
 * on standard error.
 */
export async function judgePlan(
  named: PlanFile,
  { passage, readings = [] }: { readonly passage?: string; readonly readings?: readonly string[] } = {},
): Promise<Judged | null> {
  if (await readsTwice([named.file], readings)) return null;
  const { findings, text, judged } = await examinePlan(named, readings);
  const told = judged ? findings.filter((finding) => !isCaution(finding)) : findings;
  if (text && told.length > 0) await say(text.show(told));
  if (!text) await Promise.all(told.map((finding: Finding) => refuse(finding)));
  return judged && passage !== undefined ? inPassage(judged, passage, findings.filter(isCaution)) : judged;
}

/** Judged as if the plan had this passage alone; energies are the same in all. */
async function inPassage(judged: Judged, name: string, cautions: readonly Finding[]): Promise<Judged | null> {
  const passage = judged.scene.passages.find((one) => one.name === name);
  if (!passage) {
    const known = judged.scene.passages.flatMap((one) => one.name ?? []);
    return refuse(unknownName('--passage', { what: 'passage', name, known }));
  }
  const others = judged.scene.passages.filter((one) => one !== passage);
  const tree = withEdits(
    judged.tree,
    others.map(({ path }) => ({ path, value: null })),
  );
  const scene = { ...judged.scene, passages: [passage] };
  const result = { ...judged.result, prepared: { ...judged.result.prepared, scene } };
  return { ...judged, tree, scene, result, report: judge(scene, result, cautions) };
}

type Asked = { readonly what: string; readonly name: string; readonly known: readonly string[] };

/** An option that asks for something that is not there; with the name most likely meant, or those there are. */
export function unknownName(option: string, { what, name, known }: Asked): Finding {
  return {
    code: 'UNKNOWN_NAME',
    severity: 'error',
    path: [],
    message: `${option}: there is no ${what} "${name}"`,
    mend: mendedName(name, known),
  };
}

// A plan read and resolved together with what was written, for the commands that change or compare plans.

export type OpenPlan = {
  readonly from: From;
  readonly text: string;
  /** As written, laid over its studio. */
  readonly tree: MapNode;
  readonly plan: PlanData;
  readonly scene: Scene;
};

/** Null where it was refused: why has then been said on standard error. */
export async function openPlan(named: PlanFile): Promise<OpenPlan | null> {
  const read = await readPlanFile(named);
  if ('code' in read) return refuse(read);
  const { text, plan, tree, findings, show } = read;
  const resolved = plan && resolve(plan, shippedCatalogue());
  const all = [...findings, ...(resolved?.findings ?? [])];
  const told = all.filter(({ code }) => code !== 'CAUTION');
  if (told.length > 0) await say(show(told));
  if (hasErrors(all) || !plan || !resolved?.scene) return null;
  return { from: named.from, text, tree, plan, scene: resolved.scene };
}

// `--watch`: a command run again on every save, until Ctrl-C.

/**
 * Exit code: 0 after Ctrl-C, however the last run went; that of a run that read no file, as with a wrong option. A run that is refused writes
 * nothing, so that the last good answer stands, with what is wrong below it.
 */
export async function againOnSave<Code extends number>(
  plans: readonly string[],
  run: () => Promise<Code>,
): Promise<Code | 0 | 2> {
  if (plans.includes('-')) {
    await refuse(STANDARD_INPUT);
    return 2;
  }
  clearBeforeAnswers();
  let code: Code | 0 = 0;
  await watch(async (changed) => {
    if (changed.length > 0)
      await say(`${changed.map((file) => visible(fromHere(file))).join(', ')} changed\n`);
    const last = await run();
    if (filesRead().length > 0) return looksOn();
    code = last;
    return 'stop';
  });
  return code;
}

async function looksOn(): Promise<'go on'> {
  await say(`${lookingAt(filesRead())}\n`);
  return 'go on';
}

const STANDARD_INPUT = {
  code: 'FILE_UNREADABLE',
  severity: 'error',
  path: [],
  message: '--watch: a plan from standard input cannot be watched',
  mend: 'name a file',
} as const;

function lookingAt([first = '', ...more]: readonly string[]): string {
  const others = more.length > 0 ? ` and ${counted(more.length, 'other file')}` : '';
  return `watching ${visible(fromHere(first))}${others}, Ctrl-C ends`;
}

// The straight line every plan goes: read, validate, resolve, transfer, judge; with all that was found on the way.

export type Examined = {
  readonly findings: readonly Finding[];
  /** Where in the text things stand; null where there was no text to be had. */
  readonly text: Pick<ReadPlan, 'locate' | 'spotOf' | 'show'> | null;
  /** Null where there is an error among the findings, or readings were refused. */
  readonly judged: Judged | null;
  /** Readings of the day were refused, which has been said on standard error. */
  readonly refused?: true;
};

export type Judged = {
  /** As written, laid over its studio. */
  readonly tree: MapNode;
  readonly plan: PlanData;
  /** What the plan's own bare lengths count in. */
  readonly units: LengthUnit;
  readonly scene: Scene;
  readonly result: Transfer;
  readonly report: Report;
  readonly assumptions: readonly Assumption[];
  /** The readings it was judged by; null where there are none. */
  readonly readings: ToldReadings | null;
  /** Lays them over the scene of another plan. */
  readonly lay?: (scene: Scene) => Scene;
};

/** With `readings` it is judged as it was measured. */
export async function examinePlan(named: PlanFile, readings: readonly string[] = []): Promise<Examined> {
  const read = await readPlanFile(named);
  if ('code' in read) return { findings: [read], text: null, judged: null };
  const { plan, tree, findings, ...text } = read;
  const resolved = plan && resolve(plan, shippedCatalogue());
  const found = [...findings, ...(resolved?.findings ?? [])];
  if (hasErrors(found) || !plan || !resolved?.scene) return { findings: found, text, judged: null };
  const day = readings.length > 0 ? await dayFrom(readings, resolved.scene) : null;
  if (readings.length > 0 && !day) return { findings: found, text, judged: null, refused: true };
  const lay = day && ((scene: Scene) => laidOver(scene, day));
  const scene = lay ? lay(resolved.scene) : resolved.scene;
  const told = day && { ...day.told, files: readings };
  const computed = compute(scene, found.filter(isCaution));
  const judged = {
    ...{ tree, plan, units: plan.units, ...computed },
    assumptions: resolved.assumptions,
    readings: told,
    ...(lay && { lay }),
  };
  return { findings: found, text, judged };
}

/** Sources times capsules from which computing takes more than about a third of a second; drawing always does. */
const LONG = 250;

function compute(scene: Scene, cautions: readonly Finding[]): Pick<Judged, 'scene' | 'result' | 'report'> {
  const [sources, capsules] = [scene.sources.length, scene.capsules.length];
  const isLong = sources * capsules >= LONG || scene.limits.confidence !== null;
  const done = isLong ? announce(`${sources} sources at ${capsules} microphones …`) : () => {};
  const result = transfer(scene);
  const report = judge(scene, result, cautions);
  done();
  return { scene, result, report };
}

/** Cautions about a plan that stands are part of the answer. */
export const isCaution = ({ code }: Finding): boolean => code === 'CAUTION';

// A plan as the command line names it, and the reading of it.

/** Options of every command that reads plans. */
export type PlanOptions = {
  /** What messages call a plan from standard input. */
  readonly stdinName: string;
  readonly beyondFolder?: true;
};

export type PlanFile = {
  /** `-` is standard input. */
  readonly file: string;
  readonly from: From;
};

export function planFile(file: string, { stdinName, beyondFolder: anywhere }: PlanOptions): PlanFile {
  const beyondFolder = anywhere === true;
  const load = studioLoader(file, beyondFolder);
  return { file, from: { name: file === '-' ? stdinName : file, load, beyondFolder } };
}

/** The text and what it says, faults included; or why there is no text. */
export async function readPlanFile({
  file,
  from,
}: PlanFile): Promise<(ReadPlan & { text: string }) | Finding> {
  const input = await readText(file);
  if ('problem' in input) return unreadable(from.name, input.problem);
  return { ...(await readPlan(input.text, from)), text: input.text };
}

// Readings of the day, fitted to a plan that is then judged as it was measured.

/** Null where they were refused: why has then been said on standard error. */
export async function dayFrom(files: readonly string[], scene: Scene): Promise<Day | null> {
  const readings = await readReadings(files, scene);
  return readings && dayOf(scene, readings);
}

/** Whether standard input would have to be read more than once: for a plan and for readings, or for several plans; says so. */
export async function readsTwice(plans: readonly string[], readings: readonly string[]): Promise<boolean> {
  if (!readings.includes('-')) return false;
  const both = plans.includes('-');
  if (!both && plans.length < 2 && readings.filter((file) => file === '-').length < 2) return false;
  await refuse({
    code: 'FILE_UNREADABLE',
    severity: 'error',
    path: [],
    message: both
      ? 'plan and readings cannot both come from standard input'
      : 'readings from standard input can be read once, for one plan',
    mend: both ? 'name a file for one of them' : 'name a file for the readings',
  });
  return true;
}

// Readings of the day from their files; what is wrong with them is said.

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
  return [...groupBy(takes, ({ who }) => who)].flatMap(([who, files]) => {
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

/** Writes an answer to a file, or to standard output for `-`. Exit code: 0 done, 2 not written, which has then been said. */
export async function deliver(answer: string, output: string): Promise<0 | 2> {
  const problem = await (output === '-' ? print(answer) : writeFile(output, answer));
  if (problem === null) return 0;
  await refuse(problem);
  return 2;
}

/** Whether an answer would take the place of the plan it is about; says so. */
export async function overwritesPlan(plan: string, output: string): Promise<boolean> {
  if (plan === '-' || output === '-' || !sameFile(plan, output)) return false;
  const message = `${output} is the plan itself, which the answer would replace`;
  await refuse({
    code: 'FILE_UNREADABLE',
    severity: 'error',
    path: [],
    message,
    mend: 'name another file for the answer',
  });
  return true;
}

/** The same for a command: its exit code. */
export async function refused(finding: Finding): Promise<2> {
  await refuse(finding);
  return 2;
}

/** Says what stands in the way where no place in a plan can be shown. Always null: there is no answer. */
export async function refuse({ code, message, mend }: Finding): Promise<null> {
  const hint = mend === undefined ? '' : `  mend: ${visible(mend)}\n`;
  await say(`spillcheck: ${code} ${visible(message)}\n${hint}`);
  return null;
}
