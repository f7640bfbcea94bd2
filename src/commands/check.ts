/** check. */
import about from '../../package.json' with { type: 'json' };
import type { Finding } from '../finding.ts';
import { summary } from '../format/ci.ts';
import { type CheckFormat, checkFormats, isCheckFormat } from '../format/formats.ts';
import { fromHere, type Named, planFiles } from '../io/files.ts';
import { say, wantsColour, widthOf } from '../io/terminal.ts';
import {
  type Check,
  type CheckedPlan,
  limitRows,
  outcomeOf,
  type Place,
  type PlacedFinding,
} from '../judge/criteria.ts';
import { mendedName, visible } from '../text.ts';
import {
  deliver,
  type Examined,
  examinePlan,
  overwritesPlan,
  type PlanOptions,
  planFile,
  readsTwice,
  refuse,
} from './pipeline.ts';

export type CheckOptions = PlanOptions & {
  readonly format: readonly string[];
  readonly json?: true;
  readonly strict?: true;
  readonly all?: true;
  readonly readings: readonly string[];
};

/** Exit code: 0 every limit met, 1 some missed, 2 refused or a plan broken; one broken plan hides no other. */
export async function check(asked: readonly string[], options: CheckOptions): Promise<0 | 1 | 2> {
  const outputs = outputsOf([...options.format, ...(options.json ? ['json'] : [])]);
  if ('code' in outputs) {
    await refuse(outputs);
    return 2;
  }
  const files = await planFiles(asked);
  if (await overwritesSome(files, outputs)) return 2;
  if (
    await readsTwice(
      files.flatMap(({ file }) => file ?? []),
      options.readings,
    )
  )
    return 2;
  const started = new Date();
  const plans = [];
  for (const named of files) {
    const checked = await checkPlan(named, options);
    if (!checked) return 2;
    plans.push(checked);
  }
  const done = { plans, strict: options.strict === true };
  const delivered = await deliverAll(done, outputs, { all: options.all === true, started });
  return delivered ? exitCode(done) : 2;
}

async function overwritesSome(files: readonly Named[], outputs: readonly Output[]): Promise<boolean> {
  for (const { file } of files) {
    for (const output of outputs) {
      if (file !== null && (await overwritesPlan(file, output.file))) return true;
    }
  }
  return false;
}

type Page = { readonly all: boolean; readonly started: Date };

/** A file gets neither colour nor the terminal's width. Where nothing goes to the screen, one line says how it stands. */
async function deliverAll(done: Check, outputs: readonly Output[], page: Page): Promise<boolean> {
  const { stdout, env } = process;
  let whole = true;
  for (const { format, file } of outputs) {
    const toScreen = file === '-';
    const width = widthOf(toScreen ? stdout : {}, env);
    const colour = toScreen && wantsColour(stdout, env);
    const shown = checkFormats[format](done, { ...page, width, colour, version: about.version });
    whole = (await deliver(shown, file)) === 0 && whole;
  }
  if (outputs.every(({ file }) => file !== '-')) await say(`${summary(done)}\n`);
  return whole;
}

function exitCode({ plans, strict }: Check): 0 | 1 | 2 {
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  if (outcomes.includes('broken')) return 2;
  return outcomes.includes('missed') ? 1 : 0;
}

// One plan held against its limits, every row and fault with its place in the text.

/** Null where readings were refused, which has then been said. */
async function checkPlan(
  { name, file }: Named,
  options: PlanOptions & { readonly readings: readonly string[] },
): Promise<CheckedPlan | null> {
  const start = performance.now();
  const named = planFile(file ?? name, options);
  const examined = file === null ? matchesNothing(name) : await examinePlan(named, options.readings);
  if (examined.refused) return null;
  return { ...checkedOf(examined, named.from.name), seconds: (performance.now() - start) / 1000 };
}

export function checkedOf(examined: Examined, name: string): Omit<CheckedPlan, 'seconds'> {
  const { judged, text } = examined;
  const rows = judged ? limitRows(judged.scene, judged.report) : [];
  return {
    name,
    title: judged?.scene.title ?? '',
    limits: rows.flatMap((row) => (text ? { ...row, place: placeAt(text.locate(row.path, 'key')) } : [])),
    readings: judged?.readings ?? null,
    faults: faultsOf(examined, name),
  };
}

const matchesNothing = (pattern: string): Examined => ({
  findings: [
    {
      code: 'FILE_UNREADABLE',
      severity: 'error',
      path: [],
      message: `${pattern} matches no file`,
      mend: 'see that it is written from here, and that its files are there',
    },
  ],
  text: null,
  judged: null,
});

/** Errors by place; a caution is for `report` to tell. */
function faultsOf({ findings, text }: Examined, name: string): PlacedFinding[] {
  const faults = findings
    .filter(({ severity }) => severity === 'error')
    .map((finding) => placed(finding, text, name));
  return faults.sort((a, b) => inOrder(a.place, b.place));
}

function placed(finding: Finding, text: Examined['text'], name: string): PlacedFinding {
  if (text) return { ...finding, place: placeAt(text.spotOf(finding)), shown: text.show([finding]) };
  const mend = finding.mend === undefined ? '' : `  mend: ${visible(finding.mend)}\n`;
  return {
    ...finding,
    place: { file: fromHere(name), line: null, column: null },
    shown: `${finding.code} ${visible(finding.message)}\n${mend}`,
  };
}

const placeAt = ({ file, line, column }: { file: string; line: number; column: number }): Place => ({
  file: fromHere(file),
  line,
  column,
});

function inOrder(a: Place, b: Place): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0);
}

// Where the answer of `check` goes, and in which formats: `junit=out.xml`, or `text` for standard output.

/** `file` is `-` for standard output. */
type Output = { readonly format: CheckFormat; readonly file: string };

/** Text on standard output where nothing is asked for. At most one output may go to the same place. */
function outputsOf(asked: readonly string[]): Output[] | Finding {
  const outputs: Output[] = [];
  for (const one of asked.length === 0 ? ['text'] : asked) {
    const [name = '', ...rest] = one.split('=');
    if (!isCheckFormat(name)) return unknownFormat(name);
    const file = rest.length === 0 ? '-' : rest.join('=');
    if (file === '') return refusal(`--format ${one} names no file`, `write ${name}=FILE, or ${name} alone`);
    if (outputs.some((other) => other.file === file)) return taken(file);
    outputs.push({ format: name, file });
  }
  return outputs;
}

function unknownFormat(name: string): Finding {
  const names = Object.keys(checkFormats);
  const mend = mendedName(name, names);
  return { ...refusal(`--format: there is no format "${name}"`, mend), code: 'UNKNOWN_NAME' };
}

function taken(file: string): Finding {
  const place = file === '-' ? 'standard output' : file;
  return refusal(`--format: two formats go to ${place}`, 'give each a file of its own: --format junit=FILE');
}

const refusal = (message: string, mend: string): Finding => ({
  code: 'FILE_UNREADABLE',
  severity: 'error',
  path: [],
  message,
  mend,
});
