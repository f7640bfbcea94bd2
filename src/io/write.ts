/** Writing whole files. */
import { lstatSync, readlinkSync, realpathSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import type { Finding } from '../finding.ts';
import { unwritable } from './refusal.ts';
import { undisturbed } from './undisturbed.ts';

/** Writes a file as a whole or not at all; null when done. A device or named pipe is written to as it is. */
export async function writeFile(file: string, text: string): Promise<Finding | null> {
  try {
    const present = statSync(file, { throwIfNoEntry: false });
    if (present && !present.isFile()) writeFileSync(file, text);
    else await undisturbed(() => replace(targetOf(file), text, present?.mode ?? 0o666));
    return null;
  } catch (error) {
    return unwritable(file, error);
  }
}

/** Links are followed, and stay; one that leads to nothing gets its file where it points. `stat` has refused circles before. */
function targetOf(file: string): string {
  const link = lstatSync(file, { throwIfNoEntry: false });
  if (!link?.isSymbolicLink()) return resolve(file);
  return targetOf(resolve(realpathSync(dirname(file)), readlinkSync(file)));
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

/** A draft beside the target takes its place in one step, once all of it lies on the disk. */
function replace(target: string, text: string, mode: number): void {
  const draft = join(dirname(target), `.spillcheck-${process.pid}-${Date.now().toString(36)}.tmp`);
  try {
    writeFileSync(draft, text, { flag: 'wx', mode, flush: true });
    renameSync(draft, target);
  } catch (error) {
    rmSync(draft, { force: true });
    throw error;
  }
}
