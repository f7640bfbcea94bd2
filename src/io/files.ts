/** Files: plans and readings named on the command line, reading with a size limit, atomic writing. */
import * as fs from 'node:fs';
import { basename, dirname, extname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Finding } from '../finding.ts';
import { readDocument } from '../plan/document.ts';
import { type Hear, type Load, OUTSIDE_FIX } from '../plan/files.ts';
import type { ByteSource } from '../recording/wave.ts';
import { fileFinding, reason, unreadable, unwritable } from './terminal.ts';
import { noteRead, readSoFar } from './watch.ts';

/** A recording of one player; `mic` is null for a file with all mics. */
export type TakeName = { readonly who: string; readonly mic: string | null; readonly file: string };

/** Tables and recordings in the order given; those of a folder by name. */
export function readingFiles(asked: readonly string[]) {
  const tables: string[] = [];
  const takes: TakeName[] = [];
  const findings: Finding[] = [];
  for (const file of asked) {
    try {
      if (file !== '-' && fs.statSync(file).isDirectory()) takes.push(...takesIn(file, findings));
      else if (isWave(file)) takes.push({ who: stem(file), mic: null, file });
      else tables.push(file);
    } catch (error) {
      findings.push(unreadable(file, reason(error)));
    }
  }
  return { tables, takes, findings };
}

const isWave = (file: string): boolean => /^\.wave?$/i.test(extname(file));
const stem = (file: string): string => basename(file, extname(file)).normalize('NFC');

/** `player.wav` with all mics, `player/mic.wav` with one. */
function takesIn(folder: string, findings: Finding[]): TakeName[] {
  const takes = entriesOf(folder).flatMap(({ name, file, isFolder }): TakeName[] => {
    if (!isFolder) return isWave(name) ? [{ who: stem(name), mic: null, file }] : [];
    const who = name.normalize('NFC');
    const inside = entriesOf(file).filter((one) => !one.isFolder && isWave(one.name));
    return inside.map((one) => ({ who, mic: stem(one.name), file: one.file }));
  });
  if (takes.length === 0)
    findings.push(unreadable(folder, 'it has no recordings named player.wav or player/mic.wav'));
  return takes;
}

/** Without hidden files, which recorders leave behind. */
function entriesOf(folder: string) {
  noteRead(folder);
  const names = fs.readdirSync(folder).filter((name) => !name.startsWith('.'));
  return names.sort().map((name) => {
    const file = join(folder, name);
    return { name, file, isFolder: fs.statSync(file).isDirectory() };
  });
}

type OpenFile = ByteSource & { readonly close: () => void };

/** A file for random access, or why it cannot be read, in words that follow its name and a colon. */
export function openFile(file: string): OpenFile | { readonly problem: string } {
  noteRead(file);
  try {
    const { size } = fs.statSync(file);
    if (!isPlainFile(file)) return { problem: 'it is a folder, a device or a pipe, not a file' };
    const descriptor = fs.openSync(file, 'r');
    return {
      size,
      read: (offset: number, length: number) => readAt(descriptor, offset, length),
      close: () => fs.closeSync(descriptor),
    };
  } catch (error) {
    return { problem: reason(error) };
  }
}

/** Fewer bytes than requested only at the end of the file. */
function readAt(descriptor: number, offset: number, length: number): Uint8Array {
  const bytes = new Uint8Array(length);
  let done = 0;
  while (done < length) {
    const count = fs.readSync(descriptor, bytes, done, length - done, offset + done);
    if (count === 0) break;
    done += count;
  }
  return bytes.subarray(0, done);
}

/** A name and its file; null for a pattern without a match, or a folder without a plan. */
export type Named = {
  readonly name: string;
  readonly file: string | null;
  /** The folder it was found in, as named. */
  readonly folder?: string;
  /** Whether another plan found there lies over it. */
  readonly isStudio?: boolean;
};

/** Files in the order given, those of a pattern or folder by name, each once. `-` is standard input. */
export async function planFiles(asked: readonly string[]): Promise<Named[]> {
  const found: Named[] = [];
  for (const one of asked) {
    if (isFolder(one)) found.push(...(await plansIn(one)));
    else found.push(...(isPattern(one) ? await matching(one) : [{ name: one, file: one }]));
  }
  const seen = new Map(found.map((named) => [named.file === '-' ? '-' : resolve(named.name), named]));
  return [...seen.values()];
}

/** An existing file of that name is not a pattern: a shell may have matched already. */
const isPattern = (text: string): boolean => /[*?[\]{}]/.test(text) && !fs.existsSync(text);

async function matching(pattern: string): Promise<Named[]> {
  const { glob } = await import('tinyglobby');
  const files = await glob(pattern, { expandDirectories: false, ignore: '**/node_modules/**' });
  if (files.length === 0) return [{ name: pattern, file: null }];
  return files.sort().map((file) => ({ name: file, file }));
}

export const isFolder = (name: string): boolean =>
  fs.statSync(name, { throwIfNoEntry: false })?.isDirectory() === true;

/** Any one tells a plan, also one that has lost another. */
const PLAN_KEYS = /^(?:studio|rooms|players|sources|mics)\s*:|\bspillcheck["']?\s*:/m;

/**
 * Plans below a folder: every YAML file with a key of plans, and none that a link leads to from outside.
 */
async function plansIn(folder: string): Promise<Named[]> {
  noteRead(folder);
  const { glob } = await import('tinyglobby');
  const options = { cwd: folder, ignore: '**/node_modules/**', expandDirectories: false };
  const names = await glob('**/*.{yaml,yml}', { ...options, followSymbolicLinks: false });
  const studios = new Set<string>();
  const plans = names.sort().flatMap((name): Named[] => {
    const file = join(folder, name);
    const read = isPlainFile(file) && !leadsOut(file, folder) ? readFile(file) : { problem: '' };
    if (!('text' in read) || !PLAN_KEYS.test(read.text)) return [];
    const { tree } = readDocument({ name: file, text: read.text });
    const studio = tree?.kind === 'map' ? tree.entries.get('studio')?.node : undefined;
    if (studio?.kind === 'scalar') studios.add(resolve(dirname(file), studio.text));
    return [{ name: file.replaceAll(sep, '/'), file, folder }];
  });
  const found = plans.map((plan) => ({ ...plan, isStudio: studios.has(resolve(plan.name)) }));
  return found.length > 0 ? found : [{ name: folder, file: null }];
}

/** Path relative to the working folder, with `/` as separator. */
export const fromHere = (file: string): string => stepsFrom(process.cwd(), file);

const stepsFrom = (folder: string, file: string): string =>
  relative(folder, resolve(file)).replaceAll(sep, '/');

/** Path to one file from the folder of another: relative if both are below the working folder, otherwise a URL. */
export function relativePath(file: string, from: string): string {
  const folder = dirname(resolve(from));
  const isBelow = (path: string) => `${path}${sep}`.startsWith(`${process.cwd()}${sep}`);
  return isBelow(resolve(file)) && isBelow(folder) ? stepsFrom(folder, file) : pathToFileURL(file).href;
}

/** True for a pipe or device, which can be read but once. */
export function isPassing(file: string): boolean {
  const there = fs.statSync(file, { throwIfNoEntry: false });
  return there !== undefined && !there.isFile() && !there.isDirectory();
}

/** True for an existing file that is not a folder, device or pipe. */
export const isPlainFile = (file: string): boolean =>
  fs.statSync(file, { throwIfNoEntry: false })?.isFile() === true;

/** Reads the studios and tables of a plan, by their paths from its folder. */
export function studioLoader(plan: string, allowOutside: boolean): Load {
  return async (path) => {
    const file = fileOf(path, plan, allowOutside);
    return typeof file === 'string' ? readFile(file) : file;
  };
}

/** Reads its recordings in the same way, each by `hear`. */
export const recordingLoader =
  (plan: string, allowOutside: boolean, hear: Hear): Hear =>
  async (path) => {
    const file = fileOf(path, plan, allowOutside);
    return typeof file === 'string' ? hear(file) : { fix: 'name an existing file', ...file };
  };

/**
 * A file by its path from the folder of a plan, which its name has also where it came from standard input, or why it must not be read.
 * Unless files may lie beyond it, none is read that a link leads to from there.
 */
function fileOf(path: string, plan: string, allowOutside: boolean) {
  const folder = dirname(plan);
  const file = isAbsolute(path) ? path : join(folder, path);
  if (!allowOutside && leadsOut(file, folder))
    return { problem: "a link leads out of the plan's folder", fix: OUTSIDE_FIX };
  // opening a pipe without a writer would block
  return isPassing(file) ? { problem: 'it is a device or a pipe, not a file' } : file;
}

/** Follows links; a missing file leads nowhere, and reading it reports that. */
function leadsOut(file: string, folder: string): boolean {
  try {
    const way = relative(fs.realpathSync(folder), fs.realpathSync(file));
    return way === '..' || way.startsWith(`..${sep}`) || isAbsolute(way);
  } catch {
    return false;
  }
}

/** A text, or why it cannot be read, in words that follow its name and a colon. */
export type Text = { readonly text: string } | { readonly problem: string };
/** Largest file in bytes: far above any plan or table of readings. */
export const LARGEST_FILE = 4 * 2 ** 20;

/** Reads a file, or standard input for `-`, as UTF-8. */
export async function readText(file: string): Promise<Text> {
  if (file !== '-') return readFile(file);
  noteRead('/dev/stdin');
  const chunks: Uint8Array[] = [];
  let total = 0;
  try {
    for await (const chunk of process.stdin) {
      chunks.push(chunk);
      total += chunk.length;
      if (total > LARGEST_FILE) break;
    }
  } catch (error) {
    return { problem: reason(error) };
  }
  return decode(Buffer.concat(chunks));
}

/** Reads a file as UTF-8, or a named pipe such as a shell makes for `<(…)`. */
export function readFile(file: string, most = LARGEST_FILE): Text {
  noteRead(file);
  try {
    return decode(readAtMost(file, most + 1), most);
  } catch (error) {
    return { problem: reason(error) };
  }
}

export function decode(bytes: Uint8Array, most = LARGEST_FILE): Text {
  if (bytes.length > most) return { problem: `it is larger than the limit of ${most / 2 ** 20} MB` };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    return { problem: 'it is not UTF-8 text' };
  }
}

/** Stops at the limit, as a device may be endless. */
function readAtMost(file: string, limit: number): Uint8Array {
  const descriptor = fs.openSync(file, 'r');
  try {
    const chunks: Uint8Array[] = [];
    for (let total = 0; total < limit; ) {
      const chunk = new Uint8Array(Math.min(65_536, limit - total));
      const count = fs.readSync(descriptor, chunk);
      if (count === 0) break;
      chunks.push(chunk.subarray(0, count));
      total += count;
    }
    return Buffer.concat(chunks);
  } finally {
    fs.closeSync(descriptor);
  }
}

/**
 * What a text may take the place of: any file that was not read, none, or in place of the text `of` that was read from it,
 * if nobody else has changed it since.
 */
export type Onto = 'any' | 'none' | { readonly of: string };

/** Writes a file atomically; null when done. A device or named pipe is written to directly. */
export async function writeFile(file: string, text: string, onto: Onto = 'any'): Promise<Finding | null> {
  try {
    const present = fs.statSync(file, { throwIfNoEntry: false });
    const refusal = wrongOutput(file, present, onto);
    if (refusal) return refusal;
    if (!present || present.isFile())
      return await deferSignals(() => replace({ file, target: targetOf(file), text, present, onto }));
    fs.writeFileSync(file, text);
    return null;
  } catch (error) {
    return unwritable(file, error);
  }
}

/** Why a file must not be written; null if it may. */
function wrongOutput(file: string, present: fs.Stats | undefined, onto: Onto): Finding | null {
  const refuse = (problem: string, fix: string) => fileFinding(`${file} ${problem}`, fix);
  if (present && !present.isFile() && onto !== 'any')
    return refuse('is not a file', 'write to a file with -o');
  if (!present?.isFile()) return null;
  if (onto === 'none') return alreadyExists(file);
  if (onto === 'any' && isInput(file)) return overwriting(file);
  // root may write to any file, so that the system does not object
  if ((present.mode & 0o222) === 0)
    return refuse('cannot be written: it is write-protected', 'allow writing, or choose another name');
  fs.accessSync(file, fs.constants.W_OK);
  if (onto !== 'any' && present.nlink > 1)
    return refuse('has a hard link, which would keep the old text', 'write to another file with -o');
  return null;
}

/** Whether a file was read in this run, under whatever name. */
export const isInput = (file: string): boolean =>
  isPlainFile(file) && readSoFar().some((input) => sameFile(input, file));

export const overwriting = (file: string): Finding =>
  fileFinding(`output would overwrite ${file}, which is an input`, 'choose another output file');

const alreadyExists = (file: string): Finding => ({
  ...fileFinding(`${file} already exists`, 'choose another name or add --force'),
  code: 'FILE_EXISTS',
});

/** Follows links and keeps them; a dangling link gets its file. Loops were refused by `stat` before. */
function targetOf(file: string): string {
  const link = fs.lstatSync(file, { throwIfNoEntry: false });
  if (!link?.isSymbolicLink()) return resolve(file);
  return targetOf(resolve(fs.realpathSync(dirname(file)), fs.readlinkSync(file)));
}

/** Whether two names lead to the same file, or would once it is written. */
export function sameFile(a: string, b: string): boolean {
  try {
    const [first, second] = [a, b].map((name) => fs.statSync(name, { throwIfNoEntry: false }));
    if (first && second) return first.ino === second.ino && first.dev === second.dev;
    const [one, other] = [a, b].map((name) => {
      const target = targetOf(name);
      return join(fs.realpathSync(dirname(target)), basename(target));
    });
    return !first && !second && one === other;
  } catch {
    return false;
  }
}

type Replacement = {
  /** As it was named. */
  readonly file: string;
  readonly target: string;
  readonly text: string;
  readonly present: fs.Stats | undefined;
  readonly onto: Onto;
};

/**
 * Writes a draft beside the target, which takes its place once it is on disk. In place of a text that was read the draft is
 * the lock, too: it has one name, and whoever finds it there leaves the file alone.
 */
function replace({ file, target, text, present, onto }: Replacement): Finding | null {
  const isInPlace = typeof onto === 'object';
  const own = isInPlace ? `${basename(target)}.lock` : `${process.pid}-${Date.now().toString(36)}.tmp`;
  const draft = join(dirname(target), `.spillcheck-${own}`);
  try {
    fs.closeSync(fs.openSync(draft, 'wx', (present?.mode ?? 0o666) & 0o777));
  } catch (error) {
    if (!isInPlace || !isTaken(error)) throw error;
    const fix = `wait for it; if it was stopped halfway, delete ${relativeTo(file, draft)}`;
    return fileFinding(`${file} is being written by another run; nothing was written`, fix);
  }
  try {
    fs.writeFileSync(draft, text, { flush: true });
    if (present) keepOwner(draft, present);
    if (isInPlace && !isStill(target, onto.of)) {
      fs.rmSync(draft);
      const message = `${file} has changed since it was read; nothing was written`;
      return fileFinding(message, 'run it again');
    }
    if (onto !== 'none') fs.renameSync(draft, target);
    else if (!tookFreeName(draft, target)) return alreadyExists(file);
    return null;
  } catch (error) {
    fs.rmSync(draft, { force: true });
    throw error;
  }
}

const isTaken = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && error.code === 'EEXIST';

/** `draft` as one would name it who named its neighbour `file`. */
const relativeTo = (file: string, draft: string): string =>
  dirname(draft) === dirname(resolve(file)) ? join(dirname(file), basename(draft)) : draft;

function isStill(file: string, text: string): boolean {
  const now = readFile(file);
  return 'text' in now && now.text === text;
}

/** Permissions stay; so do owner and group where the system lets us set them. */
function keepOwner(draft: string, { uid, gid, mode }: fs.Stats): void {
  for (const owner of [process.getuid?.() ?? uid, uid])
    try {
      fs.chownSync(draft, owner, gid);
    } catch {}
  fs.chmodSync(draft, mode & 0o777);
}

/** False if there is a file of that name by now. A link fails then, where renaming would replace it. */
function tookFreeName(draft: string, target: string): boolean {
  try {
    fs.linkSync(draft, target);
    return true;
  } catch (error) {
    if (isTaken(error)) return false;
    throw error;
  } finally {
    fs.rmSync(draft, { force: true });
  }
}

/** Does work that must not be interrupted: signals without a listener take effect afterwards. */
async function deferSignals<Result>(work: () => Result): Promise<Result> {
  const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
  const unheard = signals.filter((signal) => process.listenerCount(signal) === 0);
  const held: NodeJS.Signals[] = [];
  const hold = (signal: NodeJS.Signals) => void held.push(signal);
  for (const signal of unheard) process.on(signal, hold);
  try {
    return work();
  } finally {
    // Node delivers signals between two turns of the event loop
    for (let turn = 0; turn < 2; turn++) await new Promise((next) => setImmediate(next));
    for (const signal of unheard) process.off(signal, hold);
    if (held[0]) process.kill(process.pid, held[0]);
  }
}
