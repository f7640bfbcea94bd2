/** Looking at files until somebody saves one. Looks by itself: not every file system tells of changes. */
import { setTimeout as pause } from 'node:timers/promises';
import { changedFiles, forgetReads } from './files-read.ts';

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
