/** Files read by the current run, and reruns when one of them is saved. */
import { AsyncLocalStorage } from 'node:async_hooks';
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import type { Heard } from '../plan/files.ts';

/** Files read, each with its stamp just before. */
type Stamps = Map<string, string>;
/** Of the current run: files, and what was heard in recordings. */
type Reads = { readonly stamps: Stamps; readonly heard: Map<string, Heard> };
const reads = new AsyncLocalStorage<Reads>();
const noReads = (): Reads => ({ stamps: new Map(), heard: new Map() });

/** While `work` runs, `readSoFar` knows the files that it reads. */
export const recordingReads = <Result>(work: () => Result): Result =>
  reads.getStore() ? work() : reads.run(noReads(), work);

export const readSoFar = (): readonly string[] => [...(reads.getStore()?.stamps.keys() ?? [])];

/** Call before reading a file, so that a change while reading is noticed. */
export function noteRead(file: string): void {
  const path = resolve(file); // throws if the working folder was removed
  reads.getStore()?.stamps.set(path, stampOf(path));
}

/** A recording is heard once a run, however many plans name it. */
export function heardOnce(file: string, hear: () => Heard): Heard {
  const kept = reads.getStore()?.heard;
  const heard = kept?.get(resolve(file)) ?? hear();
  kept?.set(resolve(file), heard);
  return heard;
}

/** `changed` since the previous run; `read` returns the files read so far. */
type Run = (changed: readonly string[], read: () => readonly string[]) => Promise<'go on' | 'stop'>;

/**
 * Runs once, and again with the changed files whenever a file that was read is saved, until Ctrl-C or until a run returns
 * `stop`.
 */
export async function watch(run: Run): Promise<void> {
  const end = new AbortController();
  const stop = () => end.abort();
  process.once('SIGINT', stop);
  try {
    let changed: readonly string[] | null = [];
    while (changed !== null) {
      const current = noReads();
      const { stamps } = current;
      const since = changed;
      if ((await reads.run(current, () => run(since, () => [...stamps.keys()]))) === 'stop') return;
      changed = await nextChange(stamps, end.signal);
    }
  } finally {
    process.off('SIGINT', stop);
  }
}

/** Files changed and fully written; null if the end came first. */
async function nextChange(stamps: Stamps, end: AbortSignal): Promise<readonly string[] | null> {
  let before: ReadonlyMap<string, string> = new Map();
  while (!end.aborted) {
    const now = changedSince(stamps);
    if (now.size > 0 && isSame(before, now)) return [...now.keys()];
    before = now;
    // short enough to seem immediate, long enough to cost nothing
    await pause(200, undefined, { signal: end }).catch(() => {});
  }
  return null;
}

const isSame = (a: ReadonlyMap<string, string>, b: ReadonlyMap<string, string>): boolean =>
  a.size === b.size && [...a].every(([file, stamp]) => b.get(file) === stamp);

/** Files that changed, appeared or disappeared, each with its stamp. */
function changedSince(stamps: Stamps): ReadonlyMap<string, string> {
  const now = [...stamps.keys()].map((file) => [file, stampOf(file)] as const);
  return new Map(now.filter(([file, stamp]) => stamp !== stamps.get(file)));
}

/** The inode, too, as an editor may replace the file. */
function stampOf(file: string): string {
  try {
    const { ino, size, mtimeNs } = statSync(file, { bigint: true });
    return `${ino} ${size} ${mtimeNs}`;
  } catch {
    return 'absent';
  }
}
