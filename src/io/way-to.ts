/** Files as others are to find them. */
import { statSync } from 'node:fs';
import { dirname, relative, resolve, sep } from 'node:path';
import { pathToFileURL } from 'node:url';

/** A way to one file from the folder of another: relative where both lie below where we run, else as a URL. */
export function wayTo(file: string, from: string): string {
  const folder = dirname(resolve(from));
  if (!isBelow(resolve(file)) || !isBelow(folder)) return pathToFileURL(file).href;
  return relative(folder, resolve(file)).split(sep).join('/');
}

const isBelow = (path: string): boolean => `${path}${sep}`.startsWith(`${process.cwd()}${sep}`);

/** Whether there is a file of that name, and no folder, device or pipe. */
export const isPlainFile = (file: string): boolean =>
  statSync(file, { throwIfNoEntry: false })?.isFile() === true;
