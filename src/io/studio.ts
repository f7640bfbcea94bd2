import { realpathSync } from 'node:fs';
import { basename, dirname, isAbsolute, join, relative, sep } from 'node:path';
import type { Finding } from '../finding.ts';
import { type NamedText, readFile } from './files.ts';

/** Reads the studio that a file names: a relative path, followed from that file, that stays in the plan's folder. */
export type StudioReader = (studio: string, from: string) => NamedText | Finding;

/** `plan` is `-` for a plan from standard input: its folder is then the one we run in. */
export function studioReader(plan: string): StudioReader {
  const folderOf = (file: string): string => (file === '-' ? '.' : dirname(file));
  return (studio, from) => {
    if (isAbsolute(studio)) return refused(studio, 'a studio is named by a path from the plan that uses it');
    const file = join(folderOf(from), studio);
    return isInside(file, folderOf(plan))
      ? readFile(file)
      : refused(studio, 'it lies outside the folder of the plan');
  };
}

function isInside(file: string, folder: string): boolean {
  const way = relative(real(folder), real(file));
  return way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way);
}

/** Where links lead, as far as the path exists; that the rest is missing is left to the reading to say. */
function real(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    const parent = dirname(path);
    return parent === path ? path : join(real(parent), basename(path));
  }
}

const refused = (studio: string, why: string): Finding => ({
  code: 'FILE_UNREADABLE',
  severity: 'error',
  path: ['studio'],
  message: `${studio} cannot be read: ${why}`,
});
