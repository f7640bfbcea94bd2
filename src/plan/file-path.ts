/** Where a file that a plan names lies, as a path from the folder of the plan. */
import { type Scalar, shown } from './tree.ts';

/** Gives the text of a file by its path from the plan's folder, or says why there is none. */
export type Load = (
  path: string,
) => Promise<{ readonly text: string } | { readonly problem: string; readonly mend?: string }>;

/** The plan that names files: what it is called, who reads for it, and whether they may lie anywhere. */
export type From = {
  readonly name: string;
  readonly load: Load;
  /** Else a plan, which may be a stranger's, can have nothing read but what lies in its own folder or below. */
  readonly beyondFolder: boolean;
};

export const BEYOND_MEND = 'move the file below the folder of the plan, or allow others with --beyond-folder';

type Refused = { readonly message: string; readonly mend: string };

/** The path of what is `written` in the file `from`; messages go on from the name of the value. */
export function pathFrom(
  written: Scalar,
  from: string,
  beyondFolder: boolean,
  such: string,
): string | Refused {
  const { text } = written;
  if (text.trim() === '' || /[\\\p{Cc}]/u.test(text) || /^[a-z][a-z\d+.-]*:/i.test(text))
    return { message: `must be a path, got ${shown(text)}`, mend: `write a path such as ${such}` };
  const path = joined(from, text);
  if (path === null)
    return {
      message: `must be the path of a file, got ${shown(text)}`,
      mend: `write a path such as ${such}`,
    };
  const leaves = path.startsWith('/') || path.startsWith('../');
  if (!leaves || beyondFolder) return path;
  return { message: `names ${shown(text)}, which lies outside the folder of the plan`, mend: BEYOND_MEND };
}

/** Null for a folder. */
function joined(from: string, text: string): string | null {
  const steps = text.startsWith('/') ? [''] : from.split('/').slice(0, -1);
  for (const step of text.split('/')) {
    const isAbove = step === '..';
    if (isAbove && steps.length > 0 && steps.at(-1) !== '..') steps.pop();
    else if (isAbove || (step !== '.' && step !== '')) steps.push(step);
  }
  const last = steps.at(-1) ?? '';
  return last === '' || last === '..' || /(?:^|\/)\.{0,2}$/.test(text) ? null : steps.join('/');
}

/** What a file is called in messages: as the plan is, with its folder before it. */
export const calledFrom = (plan: string, path: string): string =>
  path.startsWith('/') ? path : plan.slice(0, plan.lastIndexOf('/') + 1) + path;

/** The way back: the path of a file from the plan's folder. */
export function pathOf(plan: string, called: string): string {
  const folder = plan.slice(0, plan.lastIndexOf('/') + 1);
  return called.startsWith(folder) ? called.slice(folder.length) : called;
}
