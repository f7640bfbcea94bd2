/** Reading whole files and standard input. */
import { closeSync, openSync, readSync } from 'node:fs';
import { noteRead } from './files-read.ts';
import { reason } from './refusal.ts';

/** A text, or what keeps it from being read, in words that follow "cannot be read:". */
export type Text = { readonly text: string } | { readonly problem: string };

/** Bytes a file may have: far above any plan or table of readings, far below what would stall a reader. */
export const LARGEST_FILE = 4 * 2 ** 20;

/** Reads a file, or standard input for `-`, as UTF-8. */
export async function readText(file: string): Promise<Text> {
  if (file !== '-') return readFile(file);
  try {
    return decode(await readStdin());
  } catch (error) {
    return { problem: reason(error) };
  }
}

/** Reads a file as UTF-8; also a pipe with a name, as `<(…)` of a shell makes them. */
export function readFile(file: string): Text {
  noteRead(file);
  try {
    return decode(readAtMost(file, LARGEST_FILE + 1));
  } catch (error) {
    return { problem: reason(error) };
  }
}

function decode(bytes: Uint8Array): Text {
  if (bytes.length > LARGEST_FILE) return { problem: 'it is larger than 4 MB, the most that is read' };
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    return { problem: 'it is not text in UTF-8' };
  }
}

/** Stops at the limit, since a device may never end. */
function readAtMost(file: string, limit: number): Uint8Array {
  const descriptor = openSync(file, 'r');
  try {
    const chunks: Uint8Array[] = [];
    for (let total = 0; total < limit; ) {
      const chunk = new Uint8Array(Math.min(65_536, limit - total));
      const count = readSync(descriptor, chunk);
      if (count === 0) break;
      chunks.push(chunk.subarray(0, count));
      total += count;
    }
    return Buffer.concat(chunks);
  } finally {
    closeSync(descriptor);
  }
}

async function readStdin(): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  let total = 0;
  for await (const chunk of process.stdin) {
    chunks.push(chunk);
    total += chunk.length;
    if (total > LARGEST_FILE) break;
  }
  return Buffer.concat(chunks);
}
