/** Running again when a file that was read is saved. */
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

/** Between two looks, ms: short enough to seem at once, long enough to cost nothing. */
const INTERVAL = 200;

/**
 * Runs once, and again with the files that changed whenever one that was read last is saved; until Ctrl-C, or until a run says
 * that there is no more to wait for.
 */
export async function watch(run: (changed: readonly string[]) => Promise<'go on' | 'stop'>): Promise<void> {
  const end = new AbortController();
  const stop = () => end.abort();
  process.once('SIGINT', stop);
  try {
    for (
      let changed: readonly string[] | null = [];
      changed !== null;
      changed = await nextChange(end.signal)
    ) {
      forgetReads();
      if ((await run(changed)) === 'stop') return;
    }
  } finally {
    process.off('SIGINT', stop);
  }
}

/** Null where the end came first. What is still being written is waited for. */
async function nextChange(end: AbortSignal): Promise<readonly string[] | null> {
  let before: ReadonlyMap<string, string> = new Map();
  while (!end.aborted) {
    const now = changedFiles();
    if (now.size > 0 && isSame(before, now)) return [...now.keys()];
    before = now;
    await pause(INTERVAL, undefined, { signal: end }).catch(() => {});
  }
  return null;
}

const isSame = (a: ReadonlyMap<string, string>, b: ReadonlyMap<string, string>): boolean =>
  a.size === b.size && [...a].every(([file, stamp]) => b.get(file) === stamp);

// Which files were read, and how they stood then: what one has to look at to see that an answer is out of date.

const stamps = new Map<string, string>();

/** To be called before each reading, so that a change while reading counts as one. */
export const noteRead = (file: string): void => {
  stamps.set(resolve(file), stampOf(file));
};

const forgetReads = (): void => stamps.clear();

export const filesRead = (): string[] => [...stamps.keys()];

/** Those that stand otherwise by now, came or went, each with how it stands. */
function changedFiles(): ReadonlyMap<string, string> {
  const now = filesRead().map((file) => [file, stampOf(file)] as const);
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
