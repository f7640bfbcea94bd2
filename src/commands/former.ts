/** What a plan was before: under the same path in another folder or in a git revision, with its studios as they were there. */
import { type Finding, isFinding } from '../finding.ts';
import { isFolder, isPlainFile, type Named, readFile, readText, type Text } from '../io/files.ts';
import { openRevision, withoutParents } from '../io/revision.ts';
import { fileFinding } from '../io/terminal.ts';
import type { JudgedCriterion } from '../judge/criteria.ts';
import type { Judgement } from '../judge/judge.ts';
import { MODEL } from '../judge/report.ts';
import { openPlan } from '../judge/session.ts';
import type { From, Hear, Load } from '../plan/files.ts';
import { readPlan } from '../plan/plan.ts';
import type { Former } from '../report/check.ts';
import { catalogueVersion, shippedCatalogue } from '../shipped.ts';
import { compare, type Regression, regressions, type Side } from '../suggest/compare.ts';
import { deepEqual } from '../transfer/incremental.ts';
import { fromOf, judged, type OpenFile } from './pipeline.ts';

/** Where plans of before are, or what they came to. */
export type Past = Pick<Former, 'name' | 'model' | 'catalogue'> & {
  /** The plan of before and what reads its studios; null where none can be there. */
  readonly of: (plan: Named & { readonly file: string }) => Before | Results | null;
  readonly close: () => void;
};

/** What a plan reached by its limits. */
type Results = { readonly limits: Judgement['criteria'] };

type Before = { readonly from: From; readonly text: () => Promise<Text> };

/** An existing folder, or a file that `check --json` wrote; else a git revision. */
export function pastOf(name: string, allowOutside: boolean): Past | Finding {
  if (isPlainFile(name)) return inResults(name);
  const past = isFolder(name) ? inFolder(name, allowOutside) : inRevision(name, allowOutside);
  return isFinding(past) ? past : { name, model: MODEL, catalogue: catalogueVersion(), ...past };
}

type Saved = Pick<Past, 'model' | 'catalogue'> & {
  readonly plans: readonly {
    readonly name: string;
    readonly outcome: string;
    readonly limits: readonly SavedLimit[];
  }[];
};
type SavedLimit = Pick<JudgedCriterion, 'kind' | 'about' | 'limit' | 'passage' | 'verdict' | 'basis'> & {
  readonly value: number | null;
};

/** Values of a model of before may differ for that alone, which its name then says wherever it is told. */
function inResults(name: string): Past | Finding {
  const saved = savedIn(name);
  if (!saved) {
    const fix = 'write a folder, a git revision, or a file that check --json wrote';
    return fileFinding(`--no-worse-than: ${name} has no results of check`, fix);
  }
  const { model, catalogue, plans } = saved;
  const now = catalogueVersion();
  const versions = [
    ...(model === MODEL ? [] : [`model ${model}, now ${MODEL}`]),
    ...(catalogue === now ? [] : [`catalogue ${catalogue}, now ${now}`]),
  ];
  const of: Past['of'] = (plan) => {
    const found = plans.find((one) => one.name === plan.name && one.outcome !== 'invalid');
    if (!found) return null;
    const rest = { path: [], margin: null, remark: null, why: null, role: 'limit' } as const;
    return { limits: found.limits.map(({ value, ...one }) => ({ ...one, ...rest, reached: value })) };
  };
  const told = versions.length === 0 ? name : `${name} (${versions.join('; ')})`;
  return { name: told, model, catalogue, of, close: () => {} };
}

/** Bytes of some ten thousand plans. */
const LARGEST_RESULTS = 2 ** 26;

/** Null for anything else than what our own JSON holds. */
function savedIn(file: string): Saved | null {
  const read = readFile(file, LARGEST_RESULTS);
  if ('problem' in read) return null;
  try {
    const saved = JSON.parse(read.text);
    const isOurs = saved?.spillcheck === 1 && saved.command === 'check' && Number.isInteger(saved.model);
    return isOurs && typeof saved.catalogue === 'string' && Array.isArray(saved.plans) ? saved : null;
  } catch {
    return null;
  }
}

/** `old/templates/a.yaml` for `templates/a.yaml`; for what was found in the folder `templates`, else `old/a.yaml`. */
function inFolder(name: string, allowOutside: boolean): Place {
  const fileOf = ({ file, folder }: Named & { readonly file: string }): string => {
    const isBelow = folder === undefined || isFolder(`${name}/${folder}`);
    return `${name}/${isBelow ? file : file.slice(folder.replace(/\/*$/, '/').length)}`;
  };
  const of: Past['of'] = (plan) => {
    const file = fileOf(plan);
    return { from: fromOf(file, { stdinName: file, allowOutside }), text: () => readText(file) };
  };
  return { of, close: () => {} };
}

type Place = Pick<Past, 'of' | 'close'>;

function inRevision(name: string, allowOutside: boolean): Place | Finding {
  const revision = openRevision(name);
  if (isFinding(revision)) return revision;
  const of: Past['of'] = ({ file }) => {
    const path = revision.pathOf(file);
    if (path === null) return null;
    const folder = path.slice(0, path.lastIndexOf('/') + 1);
    // paths of what it names are those of the repository
    const pathIn = (asked: string) => (asked.startsWith('/') ? null : withoutParents(`${folder}${asked}`));
    const outside = { problem: 'it is outside the repository', fix: 'name a file in it' };
    const load: Load = async (asked) => {
      const inside = pathIn(asked);
      return inside === null ? outside : revision.read(inside);
    };
    const hear: Hear = async (asked) => {
      const inside = pathIn(asked);
      const bytes = inside === null ? outside : await revision.bytes(inside, LARGEST_RECORDING);
      if ('problem' in bytes) return { ...outside, ...bytes };
      const read = (offset: number, length: number) => bytes.subarray(offset, offset + length);
      return (await import('./decay.ts')).clapsOf({ size: bytes.length, read });
    };
    return { from: { name: path, load, hear, allowOutside }, text: () => revision.read(path) };
  };
  return { of, close: revision.close };
}

/** Bytes of a recording: far above any of some claps. */
const LARGEST_RECORDING = 2 ** 27;

/** What is worse, before it is looked up where that is in the text. */
export type Unplaced = Omit<Former, 'regressions'> & { readonly regressions: readonly Regression[] | null };

/** `now` against what it was; losses smaller than `within` dB are none. */
export async function formerOf(
  past: Past,
  named: Named & { readonly file: string },
  now: Pick<OpenFile, 'plan' | 'tree'> & Pick<Side, 'report'>,
  within: number,
): Promise<Unplaced> {
  const { name, model, catalogue } = past;
  const since = { name, model, catalogue };
  const before = past.of(named);
  if (before && 'limits' in before) {
    const sides = [{ ...now.report, criteria: before.limits }, now.report].map(limitsAlone);
    const compared = compare(sides.map((report) => ({ name, tree: now.tree, report })));
    return { ...since, regressions: regressions(compared, 0, within), is: 'changed' };
  }
  const input = before && (await before.text());
  if (!before || !input || 'problem' in input) return { ...since, regressions: null, is: 'absent' };
  const { open } = openPlan(await readPlan(input.text, before.from), shippedCatalogue());
  if (!open) return { ...since, regressions: null, is: 'invalid' };
  // where nothing was changed nothing is worse
  if (deepEqual(open.plan, now.plan)) return { ...since, regressions: [], is: 'the same' };
  const sides = [{ ...open, report: judged(open).report }, now].map(({ tree, report }) => ({
    name,
    tree,
    report,
  }));
  return { ...since, regressions: regressions(compare(sides), 0, within), is: 'changed' };
}

/** Saved results say of limits alone what they reach, and nothing of who else hears or sees whom. */
const limitsAlone = (report: Judgement): Judgement => ({
  ...report,
  criteria: report.criteria.filter(({ role }) => role === 'limit'),
  hearing: { ...report.hearing, rows: [] },
  sight: { ...report.sight, rows: [] },
});
