/** Running again when a file that was read is saved. */
import { AsyncLocalStorage } from 'node:async_hooks';
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

/** Files read, each with how it was just before. */
type Stamps = Map<string, string>;
/** Those of the run that is on, if one is watched. */
const reads = new AsyncLocalStorage<Stamps>();

/** To be called before each reading, so that a change while reading counts as one. */
export function noteRead(file: string): void {
  const path = resolve(file); // throws where the folder in which we run is gone
  reads.getStore()?.set(path, stampOf(path));
}

/** `changed` since the run before; `read` tells at its end which files it has read. */
type Run = (changed: readonly string[], read: () => readonly string[]) => Promise<'go on' | 'stop'>;

/**
 * Runs once, and again with the files that changed whenever one that was read last is saved; until Ctrl-C, or until a run says
 * that there is no more to wait for.
 */
export async function watch(run: Run): Promise<void> {
  const end = new AbortController();
  const stop = () => end.abort();
  process.once('SIGINT', stop);
  try {
    let changed: readonly string[] | null = [];
    while (changed !== null) {
      const stamps: Stamps = new Map();
      const since = changed;
      if ((await reads.run(stamps, () => run(since, () => [...stamps.keys()]))) === 'stop') return;
      changed = await nextChange(stamps, end.signal);
    }
  } finally {
    process.off('SIGINT', stop);
  }
}

/** Null where the end came first. What is still being written is waited for. */
async function nextChange(stamps: Stamps, end: AbortSignal): Promise<readonly string[] | null> {
  let before: ReadonlyMap<string, string> = new Map();
  while (!end.aborted) {
    const now = changedSince(stamps);
    if (now.size > 0 && isSame(before, now)) return [...now.keys()];
    before = now;
    // short enough to seem at once, long enough to cost nothing
    await pause(200, undefined, { signal: end }).catch(() => {});
  }
  return null;
}

const isSame = (a: ReadonlyMap<string, string>, b: ReadonlyMap<string, string>): boolean =>
  a.size === b.size && [...a].every(([file, stamp]) => b.get(file) === stamp);

/** Files that differ by now, came or went, each with how it is. */
function changedSince(stamps: Stamps): ReadonlyMap<string, string> {
  const now = [...stamps.keys()].map((file) => [file, stampOf(file)] as const);
  return new Map(now.filter(([file, stamp]) => stamp !== stamps.get(file)));
}

/** An editor that writes a new file in place of the old one changes its number. */
function stampOf(file: string): string {
  try {
    const { ino, size, mtimeNs } = statSync(file, { bigint: true });
    return `${ino} ${size} ${mtimeNs}`;
  } catch {
    return 'not to be seen';
  }
}
