/** Reading and writing whole files, with what goes wrong said as findings. */
import {
  closeSync,
  openSync,
  readSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import type { Finding } from '../finding.ts';

/** A text, or what keeps it from being read, in words that follow "cannot be read:". */
export type Text = { readonly text: string } | { readonly problem: string };

/** Bytes a plan may have: far above any plan, far below what would stall a parser. */
export const LARGEST_FILE = 4 * 2 ** 20;

/** Reads a file, or standard input for `-`, as UTF-8. */
export async function readText(file: string): Promise<Text> {
  if (file !== '-') return readFile(file);
  try {
    return decode(await readStdin());
  } catch (error) {
    return { problem: reason(error) };
  }
}

/** Reads a file as UTF-8; also a pipe with a name, as `<(…)` of a shell makes them. */
export function readFile(file: string): Text {
  try {
    return decode(readAtMost(file, LARGEST_FILE + 1));
  } catch (error) {
    return { problem: reason(error) };
  }
}

export const unreadable = (name: string, problem: string): Finding =>
  refusal(`${name} cannot be read: ${problem}`);

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

export const unwritable = (name: string, error: unknown): Finding =>
  refusal(`${name} cannot be written: ${reason(error)}`);

/** What stopped a system call, in words. */
function reason(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const known = REASONS.get(code);
  if (known === undefined && code === '') throw error;
  return known ?? code;
}

const REASONS = new Map([
  ['ENOENT', 'there is no such file or folder'],
  ['ENOTDIR', 'a part of its path is not a folder'],
  ['EISDIR', 'it is a folder'],
  ['EACCES', 'permission denied'],
  ['EPERM', 'permission denied'],
  ['EROFS', 'the file system is read-only'],
  ['ENOSPC', 'no space left'],
  ['ELOOP', 'its links run in a circle'],
  ['ENAMETOOLONG', 'the name is too long'],
  ['EMFILE', 'too many open files'],
  ['EIO', 'the device reports an error'],
]);

function refusal(message: string): Finding {
  return { code: 'FILE_UNREADABLE', severity: 'error', path: [], message };
}

function decode(bytes: Uint8Array): Text {
  if (bytes.length > LARGEST_FILE) return { problem: 'it is larger than 4 MB, the most a plan may have' };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    return { problem: 'it is not text in UTF-8' };
  }
}

/** Stops at the limit, since a device may never end. */
function readAtMost(file: string, limit: number): Uint8Array {
  const descriptor = openSync(file, 'r');
  try {
    const chunks: Uint8Array[] = [];
    for (let total = 0; total < limit; ) {
      const chunk = new Uint8Array(Math.min(65_536, limit - total));
      const count = readSync(descriptor, chunk);
      if (count === 0) break;
      chunks.push(chunk.subarray(0, count));
      total += count;
    }
    return Buffer.concat(chunks);
  } finally {
    closeSync(descriptor);
  }
}

async function readStdin(): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  let total = 0;
  for await (const chunk of process.stdin) {
    chunks.push(chunk);
    total += chunk.length;
    if (total > LARGEST_FILE) break;
  }
  return Buffer.concat(chunks);
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
