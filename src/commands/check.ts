/** `spillcheck check`: whether plans meet their limits, in one or more output formats. */
import about from '../../package.json' with { type: 'json' };
import { type Finding, isFinding } from '../finding.ts';
import { type CheckFormat, checkFormats, isCheckFormat } from '../format/check.ts';
import { fromHere, isFolder, type Named, planFiles, sameFile } from '../io/files.ts';
import { fileFinding, progressLine, say } from '../io/terminal.ts';
import { CRITERIA, type Criterion, criterionOf, limitRows, nameOf } from '../judge/criteria.ts';
import type { Report } from '../judge/report.ts';
import type { ReadPlan } from '../plan/plan.ts';
import type { Check, CheckedPlan, Former, Place, PlacedFinding } from '../report/check.ts';
import { isPassed, outcomeOf, summary } from '../report/check.ts';
import { catalogueVersion } from '../shipped.ts';
import { escapeControl, unknownName } from '../text.ts';
import { formerOf, type Past, pastOf, type Unplaced } from './former.ts';
import { deliver, overwrites, pageOf, refused, usageFault, withinFaults } from './output.ts';
import { type AnswerOptions, type Examined, examinePlan, judged, readsTwice } from './pipeline.ts';

export type CheckOptions = Omit<AnswerOptions, 'output'> & {
  readonly format: readonly string[];
  readonly strict?: true;
  readonly quiet?: true;
  readonly noWorseThan?: string;
  readonly within: string;
  readonly readings: readonly string[];
};

/** Exit code: 0 all limits met, 1 a limit missed, 2 invalid usage or plan; an invalid plan does not stop the others. */
export async function check(asked: readonly string[], options: CheckOptions): Promise<0 | 1 | 2> {
  const outputs = outputsOf([...options.format, ...(options.json ? ['json'] : [])]);
  if ('code' in outputs) return refused(outputs);
  const named = await planFiles(asked);
  const files = named.flatMap(({ file }) => file ?? []);
  if (await readsTwice(files, options.readings)) return 2;
  const { noWorseThan, allowOutside = false } = options;
  const [misused] = formerFaults(options);
  const past = noWorseThan === undefined ? null : (misused ?? pastOf(noWorseThan, allowOutside));
  if (isFinding(past)) return refused(past);
  const started = new Date();
  const plans = await checkAll(named, options, past);
  past?.close();
  if (!plans) return 2;
  const written = outputs.map(({ file }) => file);
  if (await overwrites(written)) return 2;
  const done = { plans, strict: options.strict === true };
  const catalogue = catalogueVersion();
  let whole = true;
  for (const { format, file } of outputs) {
    const quiet = options.quiet === true;
    const page = {
      ...pageOf({ ...options, output: file }),
      quiet,
      started,
      version: about.version,
      catalogue,
    };
    whole = (await deliver(checkFormats[format](done, page), file)) === 0 && whole;
  }
  // a summary on standard error if every format goes to a file
  if (!written.includes('-') && !options.quiet) await say(`${summary(done)}\n`);
  return whole ? exitCode(done) : 2;
}

function exitCode({ plans, strict }: Check): 0 | 1 | 2 {
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  if (outcomes.includes('invalid')) return 2;
  return outcomes.every(isPassed) ? 0 : 1;
}

function formerFaults({ noWorseThan, within, readings }: CheckOptions): Finding[] {
  const isPlain = noWorseThan === undefined || readings.length === 0;
  return [
    ...withinFaults(within),
    ...usageFault(
      isPlain,
      '--no-worse-than and --readings cannot be used together',
      'use one of them: compare takes readings, too',
    ),
  ];
}

/** Null if readings were refused, which has been reported. */
async function checkAll(
  named: readonly Named[],
  options: CheckOptions,
  past: Past | null,
): Promise<CheckedPlan[] | null> {
  const plans: CheckedPlan[] = [];
  const progress = progressLine(named.length, 'plans');
  for (const one of named) {
    const checked = await checkPlan(one, options, past);
    if (!checked) return null;
    // what is but a studio is judged with the plans over it
    if (!one.isStudio || checked.limits.some(({ verdict }) => verdict !== null)) plans.push(checked);
    progress.step();
  }
  progress.end();
  return plans;
}

/** One plan checked against its limits, or against what it was. */
async function checkPlan(
  named: Named,
  options: CheckOptions,
  past: Past | null,
): Promise<CheckedPlan | null> {
  const start = performance.now();
  const { name, file } = named;
  const examined = file === null ? matchesNothing(name) : await examinePlan(file, options, options.readings);
  if (examined.refused) return null;
  const { open, read } = examined;
  const report = open && judged(open).report;
  const checked = checkedOf(examined, report);
  const plan = { ...named, file: file === '-' ? options.stdinName : (file ?? '') };
  const former =
    past && open && report && (await formerOf(past, plan, { ...open, report }, Number(options.within)));
  const placed = former && read ? placedIn(former, checked.limits, read) : null;
  return { ...checked, former: placed, seconds: (performance.now() - start) / 1000 };
}

/** Each regression at its limit, else at what it is about. */
function placedIn(
  { regressions, ...former }: Unplaced,
  limits: CheckedPlan['limits'],
  { locate }: Pick<ReadPlan, 'locate'>,
): Former {
  const placed = regressions?.map((one) => {
    const isIts = ({ kind, about }: Criterion) =>
      criterionOf(kind).comparedAs === one.kind && nameOf(about) === nameOf(one.about);
    const section =
      CRITERIA.find(({ comparedAs }) => comparedAs === one.kind)?.group === 'mics' ? 'mics' : 'players';
    const place = limits.find(isIts)?.place ?? placeAt(locate([section, one.about[0] ?? ''], 'key'));
    return { ...one, place };
  });
  return { ...former, regressions: placed ?? null };
}

/** Every limit and error with its place in the text. */
export function checkedOf(examined: Examined, report: Report | null): Omit<CheckedPlan, 'seconds'> {
  const { name, open, read, findings } = examined;
  const rows = report ? limitRows(report) : [];
  // of the warnings that head a report some come of judging alone
  const judgedOdd = (report?.planWarnings ?? []).filter((one) => !findings.includes(one));
  const ofSeverity = (wanted: Finding['severity']): PlacedFinding[] =>
    [...findings, ...judgedOdd]
      .filter(({ severity }) => severity === wanted)
      .map((one) => placed(one, examined))
      .sort((a, b) => inOrder(a.place, b.place));
  return {
    name,
    title: open?.scene.title ?? '',
    limits: rows.flatMap((row) => (read ? { ...row, place: placeAt(read.locate(row.path, 'key')) } : [])),
    readings: open?.readings ?? null,
    former: null,
    faults: ofSeverity('error'),
    warnings: ofSeverity('warning'),
  };
}

function matchesNothing(name: string): Examined {
  const what = isFolder(name) ? 'holds no plans' : 'matches no files';
  return { name, findings: [fileFinding(`${name} ${what}`, 'check the path')], read: null, open: null };
}

function placed(finding: Finding, { name, read }: Examined): PlacedFinding {
  if (read) return { ...finding, place: placeAt(read.spotOf(finding)), shown: read.show([finding]) };
  const fix = finding.fix === undefined ? '' : `  fix: ${escapeControl(finding.fix)}\n`;
  const place = { file: fromHere(name), line: null, column: null };
  return { ...finding, place, shown: `${finding.code} ${escapeControl(finding.message)}\n${fix}` };
}

function placeAt({ file, line, column }: { file: string; line: number; column: number }): Place {
  return { file: fromHere(file), line, column };
}

function inOrder(a: Place, b: Place): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0);
}

/** A format and its file, as in `junit=out.xml`; `-` is standard output. */
type Output = { readonly format: CheckFormat; readonly file: string };

/** Text on standard output by default. Each output needs its own file. */
function outputsOf(asked: readonly string[]): Output[] | Finding {
  const outputs: Output[] = [];
  for (const one of asked.length === 0 ? ['text'] : asked) {
    const [name = '', ...rest] = one.split('=');
    if (!isCheckFormat(name))
      return unknownName('--format', { what: 'format', name, known: Object.keys(checkFormats) });
    const file = rest.length === 0 ? '-' : rest.join('=');
    if (file === '')
      return fileFinding(`--format ${one} has no file name`, `write ${name}=FILE, or ${name} alone`);
    if (outputs.some((other) => other.file === file || (file !== '-' && sameFile(other.file, file)))) {
      const place = file === '-' ? 'standard output' : file;
      const fix = 'give each its own file, such as --format junit=FILE';
      return fileFinding(`two formats would write to ${place}`, fix);
    }
    outputs.push({ format: name, file });
  }
  return outputs;
}
