import { realpathSync, statSync } from 'node:fs';
import { dirname, isAbsolute, join, relative, sep } from 'node:path';
import { BEYOND_MEND, type Load } from '../plan/file-path.ts';
import { readFile } from './read.ts';

/**
 * Reads the studios and tables of a plan, by their paths from its folder; `-` is a plan from standard input, read where we run.
 * Unless they may lie beyond it, none is read that a link leads to from there.
 */
export function studioLoader(plan: string, beyondFolder: boolean): Load {
  const folder = plan === '-' ? '.' : dirname(plan);
  return async (path) => {
    const file = isAbsolute(path) ? path : join(folder, path);
    if (!beyondFolder && leadsOut(file, folder))
      return { problem: 'a link leads out of the folder of the plan', mend: BEYOND_MEND };
    return isDevice(file) ? { problem: 'it is no file but a device or a pipe' } : readFile(file);
  };
}

/** Where links lead counts; what is not there leads nowhere, and the reading says so. */
function leadsOut(file: string, folder: string): boolean {
  try {
    const way = relative(realpathSync(folder), realpathSync(file));
    return way === '..' || way.startsWith(`..${sep}`) || isAbsolute(way);
  } catch {
    return false;
  }
}

/** To open a pipe that nobody fills would wait for ever. */
function isDevice(file: string): boolean {
  const there = statSync(file, { throwIfNoEntry: false });
  return there !== undefined && !there.isFile() && !there.isDirectory();
}
