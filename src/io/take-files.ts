/** Which files hold readings: tables, and takes of one player each, by name or in a folder. */
import { closeSync, fstatSync, openSync, readdirSync, readSync, statSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import type { Finding } from '../finding.ts';
import { noteRead } from './files-read.ts';
import { reason, unreadable } from './refusal.ts';

/** Files of who played; `mic` is null for a file that holds all microphones. */
export type TakeName = { readonly who: string; readonly mic: string | null; readonly file: string };

export type ReadingFiles = {
  readonly tables: readonly string[];
  readonly takes: readonly TakeName[];
  readonly findings: readonly Finding[];
};

/** In the order given; what lies in a folder by name. */
export function readingFiles(asked: readonly string[]): ReadingFiles {
  const tables: string[] = [];
  const takes: TakeName[] = [];
  const findings: Finding[] = [];
  for (const file of asked) {
    try {
      if (file !== '-' && statSync(file).isDirectory()) takes.push(...takesIn(file, findings));
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

/** `player.wav` with all microphones, `player/mic.wav` with one. */
function takesIn(folder: string, findings: Finding[]): TakeName[] {
  const takes = entriesOf(folder).flatMap(({ name, isFolder }): TakeName[] => {
    const file = join(folder, name);
    if (isFolder) {
      const inside = entriesOf(file).filter((one) => !one.isFolder && isWave(one.name));
      return inside.map((one) => ({
        who: name.normalize('NFC'),
        mic: stem(one.name),
        file: join(file, one.name),
      }));
    }
    return isWave(name) ? [{ who: stem(name), mic: null, file }] : [];
  });
  if (takes.length === 0)
    findings.push(unreadable(folder, 'it holds no takes: player.wav, or player/mic.wav'));
  return takes;
}

/** Without what is hidden, as recorders leave it behind. */
function entriesOf(folder: string): { name: string; isFolder: boolean }[] {
  noteRead(folder);
  return readdirSync(folder)
    .filter((name) => !name.startsWith('.'))
    .sort()
    .map((name) => ({ name, isFolder: statSync(join(folder, name)).isDirectory() }));
}

/** Bytes of a file at any place, read as they are asked for. */
export type OpenFile = {
  readonly size: number;
  readonly read: (offset: number, length: number) => Uint8Array;
  readonly close: () => void;
};

export function openFile(file: string): OpenFile | Finding {
  noteRead(file);
  try {
    const descriptor = openSync(file, 'r');
    return {
      size: fstatSync(descriptor).size,
      read: (offset, length) => readAt(descriptor, offset, length),
      close: () => closeSync(descriptor),
    };
  } catch (error) {
    return unreadable(file, reason(error));
  }
}

/** Fewer bytes than asked for only at the end. */
function readAt(descriptor: number, offset: number, length: number): Uint8Array {
  const bytes = new Uint8Array(length);
  let done = 0;
  while (done < length) {
    const count = readSync(descriptor, bytes, done, length - done, offset + done);
    if (count === 0) break;
    done += count;
  }
  return bytes.subarray(0, done);
}
