/** Which files were read, and how they stood then: what one has to look at to see that an answer is out of date. */
import { statSync } from 'node:fs';
import { resolve } from 'node:path';

const stamps = new Map<string, string>();

/** To be called before each reading, so that a change while reading counts as one. */
export const noteRead = (file: string): void => {
  stamps.set(resolve(file), stampOf(file));
};

export const forgetReads = (): void => stamps.clear();

export const filesRead = (): string[] => [...stamps.keys()];

/** Those that stand otherwise by now, came or went, each with how it stands. */
export function changedFiles(): ReadonlyMap<string, string> {
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
