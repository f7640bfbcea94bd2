/** The terminal: width, colours, progress, standard output and standard error. */
import { AsyncLocalStorage } from 'node:async_hooks';
import type { Finding } from '../finding.ts';
import { escapeCommands, escapeControl, escapeControlLines } from '../text.ts';

type Environment = Readonly<Record<string, string | undefined>>;
type Screen = { isTTY?: boolean; columns?: number; rows?: number; hasColors?(): boolean };

/** FORCE_COLOR overrides NO_COLOR, as in Node itself; TERM=dumb is known to `hasColors`. */
export function wantsColour(stream: Screen, environment: Environment): boolean {
  const forced = environment.FORCE_COLOR;
  if (forced !== undefined) return forced !== '0' && forced !== 'false';
  if (environment.NO_COLOR) return false;
  return stream.isTTY === true && stream.hasColors?.() === true;
}

/** Whether the locale is one of UTF-8, by the order of POSIX; where none is set it is taken to be. */
export function speaksUtf8({ LC_ALL, LC_CTYPE, LANG }: Environment): boolean {
  const locale = LC_ALL || LC_CTYPE || LANG || 'UTF-8';
  return /utf-?8/i.test(locale);
}

/** Page width in columns, 80 to 140; 80 if unknown. */
export function widthOf(stream: Screen, environment: Environment): number {
  const stated = Number(environment.COLUMNS);
  const columns = Number.isInteger(stated) && stated > 0 ? stated : (stream.columns ?? 0);
  return columns > 0 ? Math.min(140, Math.max(80, columns)) : 80;
}

/** Lines that fit on one screen: 40, or more on a taller screen. */
export const linesOf = ({ rows = 0 }: Screen): number => Math.max(40, rows - 1);

type Terminal = { readonly isTTY?: boolean; write(text: string): unknown };

/** Shows on a terminal what is taking long; returns a function that removes the line. Silent elsewhere. */
export function announce(text: string, terminal: Terminal = process.stderr): () => void {
  if (terminal.isTTY !== true) return () => {};
  const shown = escapeControl(text);
  terminal.write(shown);
  return () => terminal.write(`\r${' '.repeat(shown.length)}\r`);
}

/**
 * Progress on one line of a terminal, rewritten every 300 ms; silent elsewhere. A step counts one more done, and returns true
 * when the caller should yield to the event loop.
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

/** Exit code of a run that Ctrl-C stopped, as shells have it. */
export const INTERRUPTED = 130;

/** While `work` runs, Ctrl-C stops it at its next pause; a second one ends the program. */
export async function interruptible<T>(work: (signal: AbortSignal) => Promise<T>) {
  const stop = new AbortController();
  const interrupt = () => stop.abort();
  process.once('SIGINT', interrupt);
  try {
    const value = await work(stop.signal);
    return { value, interrupted: stop.signal.aborted };
  } finally {
    process.off('SIGINT', interrupt);
  }
}

/** Says that a run was stopped, and what that leaves. Returns the exit code. */
export async function saidInterrupted(what: string): Promise<typeof INTERRUPTED> {
  await say(`spillcheck: interrupted: ${what}\n`);
  return INTERRUPTED;
}

/** Call once before writing anything: a reader that leaves early (`| head`) is not an error. */
export function tolerateClosedPipes(): void {
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => {});
}

/** Written before each answer. */
const before = new AsyncLocalStorage<string>();

/** While `work` runs, a terminal is cleared before each answer. */
export const clearBeforeAnswers = <Result>(work: () => Result): Result =>
  before.run(process.stdout.isTTY && process.env.TERM !== 'dumb' ? '\u001b[2J\u001b[H' : '', work);

/** Writes the answer; resolves to null when it has drained or the reader has left, otherwise to the error. */
export const print = (text: string): Promise<Finding | null> =>
  write(process.stdout, 'standard output', (before.getStore() ?? '') + text);

/** Messages and progress, never part of the answer, and no command to a build server. */
export const say = (text: string): Promise<Finding | null> =>
  write(process.stderr, 'standard error', escapeCommands(text));

/** Messages that may repeat what was typed or what a plan contains: control characters are escaped. */
export const sayHarmless = (text: string): Promise<Finding | null> => say(escapeControlLines(text));

function write(stream: NodeJS.WriteStream, name: string, text: string): Promise<Finding | null> {
  const shown = stream.isTTY && !speaksUtf8(process.env) ? inAscii(text) : text;
  return new Promise((done) => {
    stream.write(shown, (error) => done(error && !isClosedPipe(error) ? unwritable(name, error) : null));
  });
}

/** Every sign of our own in ASCII; of names nothing is changed. */
export const inAscii = (text: string): string =>
  text.replace(/[→┃█×°±–…³²•·↑↓←↗↖↘↙]/g, (sign) => ASCII[sign] ?? sign);

const ASCII: Readonly<Record<string, string>> = {
  ...{
    '→': '->',
    '┃': '|',
    '█': '#',
    '×': 'x',
    '°': ' deg',
    '±': '+/-',
    '–': '-',
    '…': '...',
    '³': '3',
    '²': '2',
  },
  ...{ '•': '*', '·': '.', '↑': '^', '↓': 'v', '←': '<', '↗': '/', '↖': '\\', '↘': '\\', '↙': '/' },
};

const isClosedPipe = (error: Error): boolean => 'code' in error && error.code === 'EPIPE';

// What a file or stream refuses, as findings: what stopped a system call, in words.

export const CHECK_PATH = 'check the path, and that the file may be read';

export const unreadable = (name: string, problem: string): Finding =>
  fileFinding(`${name}: ${problem}`, CHECK_PATH);

export const unwritable = (name: string, error: unknown): Finding =>
  fileFinding(`${name} cannot be written: ${reason(error)}`, 'choose another name or folder');

/** Null for any error but a removed working folder. */
export function folderGone(error: unknown): Finding | null {
  const isCwd = error instanceof Error && 'syscall' in error && error.syscall === 'uv_cwd';
  const message = 'the current folder no longer exists';
  return isCwd ? fileFinding(message, 'change to an existing folder') : null;
}

/** An error of a whole file, or of file names on the command line. */
export const fileFinding = (message: string, fix: string): Finding => ({
  code: 'FILE_UNREADABLE',
  severity: 'error',
  path: [],
  message,
  fix,
});

/** The cause of a failed system call; rethrows any other error. */
export function reason(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (code === '') throw error;
  return REASONS[code] ?? code;
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'no such file or folder',
  ENOTDIR: 'part of its path is not a folder',
  EISDIR: 'it is a folder, not a file',
  EACCES: 'permission denied',
  EPERM: 'permission denied',
  EROFS: 'the file system is read-only',
  ENOSPC: 'no space left',
  ELOOP: 'its links form a loop',
  ENAMETOOLONG: 'the name is too long',
  EMFILE: 'too many open files',
  EIO: 'the device reported an error',
  EDQUOT: 'disk quota exceeded',
  EFBIG: 'the file is too large',
  ENXIO: 'no program is reading from it',
};
