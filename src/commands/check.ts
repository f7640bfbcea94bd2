/** `spillcheck check`: whether plans meet their limits, in one or more output formats. */
import about from '../../package.json' with { type: 'json' };
import type { Finding } from '../finding.ts';
import { type CheckFormat, checkFormats, isCheckFormat } from '../format/check.ts';
import { fromHere, type Named, planFiles, sameFile } from '../io/files.ts';
import { fileFinding, say } from '../io/terminal.ts';
import { limitRows } from '../judge/criteria.ts';
import type { Check, CheckedPlan, Place, PlacedFinding } from '../report/check.ts';
import { outcomeOf, summary } from '../report/check.ts';
import { escapeControl, unknownName } from '../text.ts';
import { deliver, overwrites, pageOf, refused } from './output.ts';
import { type AnswerOptions, type Examined, examinePlan, judged, readsTwice } from './pipeline.ts';

export type CheckOptions = Omit<AnswerOptions, 'output'> & {
  readonly format: readonly string[];
  readonly strict?: true;
  readonly readings: readonly string[];
};

/** Exit code: 0 all limits met, 1 a limit missed, 2 invalid usage or plan; an invalid plan does not stop the others. */
export async function check(asked: readonly string[], options: CheckOptions): Promise<0 | 1 | 2> {
  const outputs = outputsOf([...options.format, ...(options.json ? ['json'] : [])]);
  if ('code' in outputs) return refused(outputs);
  const named = await planFiles(asked);
  const files = named.flatMap(({ file }) => file ?? []);
  if (await readsTwice(files, options.readings)) return 2;
  const started = new Date();
  const plans = [];
  for (const one of named) {
    const checked = await checkPlan(one, options);
    if (!checked) return 2;
    plans.push(checked);
  }
  const written = outputs.map(({ file }) => file);
  if (await overwrites(written)) return 2;
  const done = { plans, strict: options.strict === true };
  let whole = true;
  for (const { format, file } of outputs) {
    const page = { ...pageOf({ ...options, output: file }), started, version: about.version };
    whole = (await deliver(checkFormats[format](done, page), file)) === 0 && whole;
  }
  // a summary on standard error if every format goes to a file
  if (!written.includes('-')) await say(`${summary(done)}\n`);
  return whole ? exitCode(done) : 2;
}

function exitCode({ plans, strict }: Check): 0 | 1 | 2 {
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  if (outcomes.includes('invalid')) return 2;
  return outcomes.includes('missed') ? 1 : 0;
}

/** One plan checked against its limits; null if readings were refused, which has been reported. */
async function checkPlan({ name, file }: Named, options: CheckOptions): Promise<CheckedPlan | null> {
  const start = performance.now();
  const examined = file === null ? matchesNothing(name) : await examinePlan(file, options, options.readings);
  return examined.refused ? null : { ...checkedOf(examined), seconds: (performance.now() - start) / 1000 };
}

/** Every limit and error with its place in the text. */
export function checkedOf(examined: Examined): Omit<CheckedPlan, 'seconds'> {
  const { name, open, read, findings } = examined;
  const rows = open ? limitRows(judged(open).report) : [];
  const ofSeverity = (wanted: Finding['severity']): PlacedFinding[] =>
    findings
      .filter(({ severity }) => severity === wanted)
      .map((one) => placed(one, examined))
      .sort((a, b) => inOrder(a.place, b.place));
  return {
    name,
    title: open?.scene.title ?? '',
    limits: rows.flatMap((row) => (read ? { ...row, place: placeAt(read.locate(row.path, 'key')) } : [])),
    readings: open?.readings ?? null,
    faults: ofSeverity('error'),
    warnings: ofSeverity('warning'),
  };
}

function matchesNothing(name: string): Examined {
  const fix = 'check the path';
  return { name, findings: [fileFinding(`${name} matches no files`, fix)], read: null, open: null };
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
