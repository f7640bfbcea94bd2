/** Writing whole files. */
import { realpathSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import type { Finding } from '../finding.ts';
import { unwritable } from './refusal.ts';

/** Writes a file as a whole or not at all; null when done. A device or named pipe is written to as it is. */
export function writeFile(file: string, text: string): Finding | null {
  try {
    const present = statSync(file, { throwIfNoEntry: false });
    if (present && !present.isFile()) writeFileSync(file, text);
    else replace(present ? realpathSync(file) : resolve(file), text, present?.mode ?? 0o666);
    return null;
  } catch (error) {
    return unwritable(file, error);
  }
}

/** Whether two names lead to one file that exists. */
export function sameFile(a: string, b: string): boolean {
  try {
    const [first, second] = [statSync(a), statSync(b)];
    return first.ino === second.ino && first.dev === second.dev;
  } catch {
    return false;
  }
}

/** A draft beside the target takes its place in one step; links in the name are followed before, and stay. */
function replace(target: string, text: string, mode: number): void {
  const draft = join(dirname(target), `.${basename(target)}.${process.pid}.tmp`);
  try {
    writeFileSync(draft, text, { flag: 'wx', mode });
    renameSync(draft, target);
  } catch (error) {
    rmSync(draft, { force: true });
    throw error;
  }
}
