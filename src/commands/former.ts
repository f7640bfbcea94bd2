/** What a plan was before: under the same path in another folder or in a git revision, with its studios as they were there. */
import { type Finding, isFinding } from '../finding.ts';
import { isFolder, type Named, readText, type Text } from '../io/files.ts';
import { openRevision, withoutParents } from '../io/revision.ts';
import { openPlan } from '../judge/session.ts';
import type { From, Hear, Load } from '../plan/files.ts';
import { readPlan } from '../plan/plan.ts';
import type { Former } from '../report/check.ts';
import { shippedCatalogue } from '../shipped.ts';
import { compare, type Regression, regressions, type Side } from '../suggest/compare.ts';
import { deepEqual } from '../transfer/incremental.ts';
import { fromOf, judged, type OpenFile } from './pipeline.ts';

/** Where plans of before are. */
export type Past = {
  readonly name: string;
  /** The plan of before and what reads its studios; null where none can be there. */
  readonly of: (plan: Named & { readonly file: string }) => Before | null;
  readonly close: () => void;
};

type Before = { readonly from: From; readonly text: () => Promise<Text> };

/** An existing folder, else a git revision. */
export function pastOf(name: string, allowOutside: boolean): Past | Finding {
  return isFolder(name) ? inFolder(name, allowOutside) : inRevision(name, allowOutside);
}

/** `old/templates/a.yaml` for `templates/a.yaml`; for what was found in the folder `templates`, else `old/a.yaml`. */
function inFolder(name: string, allowOutside: boolean): Past {
  const fileOf = ({ file, folder }: Named & { readonly file: string }): string => {
    const isBelow = folder === undefined || isFolder(`${name}/${folder}`);
    return `${name}/${isBelow ? file : file.slice(folder.replace(/\/*$/, '/').length)}`;
  };
  const of: Past['of'] = (plan) => {
    const file = fileOf(plan);
    return { from: fromOf(file, { stdinName: file, allowOutside }), text: () => readText(file) };
  };
  return { name, of, close: () => {} };
}

function inRevision(name: string, allowOutside: boolean): Past | Finding {
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
  return { name, of, close: revision.close };
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
  const { name } = past;
  const before = past.of(named);
  const input = before && (await before.text());
  if (!before || !input || 'problem' in input) return { name, regressions: null, is: 'absent' };
  const { open } = openPlan(await readPlan(input.text, before.from), shippedCatalogue());
  if (!open) return { name, regressions: null, is: 'invalid' };
  // where nothing was changed nothing is worse
  if (deepEqual(open.plan, now.plan)) return { name, regressions: [], is: 'the same' };
  const sides = [{ ...open, report: judged(open).report }, now].map(({ tree, report }) => ({
    name,
    tree,
    report,
  }));
  return { name, regressions: regressions(compare(sides), 0, within), is: 'changed' };
}
