/** What a file or stream refuses, as findings. */
import type { Finding } from '../finding.ts';

export const unreadable = (name: string, problem: string): Finding =>
  refusal(`${name} cannot be read: ${problem}`);

export const unwritable = (name: string, error: unknown): Finding =>
  refusal(`${name} cannot be written: ${reason(error)}`);

/** What stopped a system call, in words. */
export function reason(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const known = REASONS.get(code);
  if (known === undefined && code === '') throw error;
  return known ?? code;
}

/** The folder that we run in was taken away; null where it was something else. */
export function folderGone(error: unknown): Finding | null {
  const isCwd = error instanceof Error && 'syscall' in error && error.syscall === 'uv_cwd';
  if (!isCwd) return null;
  return { ...refusal('the folder in which this runs is not there any more'), mend: 'change to one that is' };
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
  ['EDQUOT', 'no space left that is allowed'],
  ['EFBIG', 'the file is too large'],
  ['ENXIO', 'nobody reads from it'],
]);

function refusal(message: string): Finding {
  return { code: 'FILE_UNREADABLE', severity: 'error', path: [], message };
}
