/** What a file or stream refuses, as findings: what stopped a system call, in words. */
import type { Finding } from '../finding.ts';

export const unreadable = (name: string, problem: string): Finding =>
  fileFinding(`${name} cannot be read: ${problem}`);

export const unwritable = (name: string, error: unknown): Finding =>
  fileFinding(`${name} cannot be written: ${reason(error)}`);

/** Null where the error is another one than that the working folder was removed. */
export function folderGone(error: unknown): Finding | null {
  const isCwd = error instanceof Error && 'syscall' in error && error.syscall === 'uv_cwd';
  const message = 'the current folder no longer exists';
  return isCwd ? fileFinding(message, 'change to an existing folder') : null;
}

/** An error of a file as a whole, or of how files are named on the command line. */
export const fileFinding = (message: string, fix?: string): Finding => ({
  code: 'FILE_UNREADABLE',
  severity: 'error',
  path: [],
  message,
  ...(fix !== undefined && { fix }),
});

/** What stopped a system call; throws an error that is none. */
export function reason(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (code === '') throw error;
  return REASONS[code] ?? code;
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  ENOTDIR: 'a part of its path is not a folder',
  EISDIR: 'it is a folder',
  EACCES: 'permission denied',
  EPERM: 'permission denied',
  EROFS: 'the file system is read-only',
  ENOSPC: 'no space left',
  ELOOP: 'its links run in a circle',
  ENAMETOOLONG: 'the name is too long',
  EMFILE: 'too many open files',
  EIO: 'the device reports an error',
  EDQUOT: 'no space left that is allowed',
  EFBIG: 'the file is too large',
  ENXIO: 'nobody reads from it',
};
