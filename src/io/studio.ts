import { realpathSync } from 'node:fs';
import { dirname, isAbsolute, join, relative, sep } from 'node:path';
import type { Load } from '../plan/studio.ts';
import { readFile } from './read.ts';

/** Reads the studios and tables of a plan, by their paths from its folder; `-` is a plan from standard input, read where we run. */
export function studioLoader(plan: string): Load {
  const folder = plan === '-' ? '.' : dirname(plan);
  return async (path) => {
    const file = join(folder, path);
    return leadsOut(file, folder)
      ? { problem: 'a link leads out of the folder of the plan' }
      : readFile(file);
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
