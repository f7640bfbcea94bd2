/** Files as others are to find them. */
import { statSync } from 'node:fs';
import { dirname, relative, resolve, sep } from 'node:path';

/** A path to one file from the folder of another: relative where both lie below where we run, else from the root. */
export function wayTo(file: string, from: string): string {
  const folder = dirname(resolve(from));
  const way = isBelow(resolve(file)) && isBelow(folder) ? relative(folder, resolve(file)) : resolve(file);
  return way.split(sep).join('/');
}

const isBelow = (path: string): boolean => `${path}${sep}`.startsWith(`${process.cwd()}${sep}`);

/** Whether there is a file of that name, and no folder, device or pipe. */
export const isPlainFile = (file: string): boolean =>
  statSync(file, { throwIfNoEntry: false })?.isFile() === true;
