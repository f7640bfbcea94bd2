/** The terminal: its width and colours, what takes long just now, standard output and standard error. */
import { AsyncLocalStorage } from 'node:async_hooks';
import type { Finding } from '../finding.ts';
import { escapeControl, escapeControlLines } from '../text.ts';

type Environment = Readonly<Record<string, string | undefined>>;
type Screen = { isTTY?: boolean; columns?: number; rows?: number; hasColors?(): boolean };

/** FORCE_COLOR overrides NO_COLOR, as in Node itself; TERM=dumb is known to `hasColors`. */
export function wantsColour(stream: Screen, environment: Environment): boolean {
  const forced = environment.FORCE_COLOR;
  if (forced !== undefined) return forced !== '0' && forced !== 'false';
  if (environment.NO_COLOR) return false;
  return stream.isTTY === true && stream.hasColors?.() === true;
}

/** Columns to lay text out in: 80 to 140, as many as tables need where nobody says or it is less. */
export function widthOf(stream: Screen, environment: Environment): number {
  const stated = Number(environment.COLUMNS);
  const columns = Number.isInteger(stated) && stated > 0 ? stated : (stream.columns ?? 0);
  return columns > 0 ? Math.min(140, Math.max(80, columns)) : 80;
}

/** Lines of a page that is to be seen at once: 40, or as many as the screen has where it has more. */
export const linesOf = ({ rows = 0 }: Screen): number => Math.max(40, rows - 1);

type Terminal = { readonly isTTY?: boolean; write(text: string): unknown };

/** Says on a terminal what takes long just now; returns what takes the line away. Silent where nobody looks. */
export function announce(text: string, terminal: Terminal = process.stderr): () => void {
  if (terminal.isTTY !== true) return () => {};
  const shown = escapeControl(text);
  terminal.write(shown);
  return () => terminal.write(`\r${' '.repeat(shown.length)}\r`);
}

/**
 * How far long work is, on one line of a terminal that is rewritten; silent where nobody looks. A step is one more done; it is
 * true now and then, 300 ms apart, when whoever works should let others in.
 */
export function progressLine(total: number, what: string) {
  let done = 0;
  let last = performance.now();
  let clear = () => {};
  const step = (): boolean => {
    done++;
    if (performance.now() - last < 300) return false;
    last = performance.now();
    clear();
    clear = announce(`${done} of ${total} ${what} …`);
    return true;
  };
  return { step, end: () => clear() };
}

/** To be called once, before anything is written: a reader that leaves early (`| head`) is no error. */
export function tolerateClosedPipes(): void {
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => {});
}

/** What goes before each answer. */
const before = new AsyncLocalStorage<string>();

/** While `work` runs a terminal shows each answer alone, in place of the one before. */
export const clearBeforeAnswers = <Result>(work: () => Result): Result =>
  before.run(process.stdout.isTTY && process.env.TERM !== 'dumb' ? '\u001b[2J\u001b[H' : '', work);

/** Writes the answer; resolves when it has drained or nobody reads any more, with what went wrong otherwise. */
export const print = (text: string): Promise<Finding | null> =>
  write(process.stdout, 'standard output', (before.getStore() ?? '') + text);

/** Talk: findings, progress. Never part of the answer. */
export const say = (text: string): Promise<Finding | null> => write(process.stderr, 'standard error', text);

/** What the argument parser says, and what went wrong in us: it may repeat what was typed, or what a plan says. */
export const sayHarmless = (text: string): Promise<Finding | null> => say(escapeControlLines(text));

function write(stream: NodeJS.WriteStream, name: string, text: string): Promise<Finding | null> {
  return new Promise((done) => {
    stream.write(text, (error) => done(error && !isClosedPipe(error) ? unwritable(name, error) : null));
  });
}

const isClosedPipe = (error: Error): boolean => 'code' in error && error.code === 'EPIPE';

// What a file or stream refuses, as findings: what stopped a system call, in words.

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
