/** The catalogue of sources as it ships: parsed and typed. */
import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import {
  type InstrumentValues,
  type RawCover,
  type RawHeadphones,
  type RawInstrument,
  type RawKit,
  type RawPosture,
  toCover,
  toHeadphones,
  toInstrument,
  toKit,
  type WithOrigin,
} from '../../src/catalogue/catalogue.ts';

const folder = new URL('../../shared/catalogue/', import.meta.url);
const read = (name: string): unknown => parse(readFileSync(new URL(name, folder), 'utf8'));

export type Citation = { readonly cite: string; readonly where?: string; readonly note?: string };

export const files = readdirSync(new URL('instruments/', folder)).map(
  (name) => [name, read(`instruments/${name}`) as Record<string, RawInstrument | RawKit>] as const,
);
export const posture = read('posture.yaml') as RawPosture;
export const writtenCovers = read('covers.yaml') as Record<string, RawCover>;
export const writtenHeadphones = read('headphones.yaml') as Record<string, RawHeadphones>;
export const citations = read('sources.yaml') as Record<string, Citation>;

const entries = files.flatMap(([, entry]) => Object.entries(entry));
const isKit = (raw: RawInstrument | RawKit): raw is RawKit => 'parts' in raw;

export const writtenInstruments = new Map(
  entries.flatMap(([name, raw]) => (isKit(raw) ? [] : [[name, raw] as const])),
);
export const writtenKits = new Map(
  entries.flatMap(([name, raw]) => (isKit(raw) ? [[name, raw] as const] : [])),
);

export const instruments = new Map(
  [...writtenInstruments].map(([name, raw]) => [name, toInstrument(name, raw, posture)] as const),
);
export const kits = new Map(
  [...writtenKits].map(([name, raw]) => [name, toKit(name, raw, posture)] as const),
);
export const covers = Object.entries(writtenCovers).map(([name, raw]) => toCover(name, raw));
export const headphones = Object.entries(writtenHeadphones).map(([name, raw]) => toHeadphones(name, raw));

/** Every set of figures there is: of each instrument and of each of its other ways of playing. */
export const played: readonly (readonly [string, WithOrigin<InstrumentValues>])[] = [...instruments].flatMap(
  ([name, one]) => [
    [name, one] as const,
    ...[...one.playing]
      .filter(([way]) => way !== one.usual)
      .map(([way, figures]) => [`${name}, ${way}`, figures] as const),
  ],
);

/** An entry that must be there. */
export function only<Entry>(entries: ReadonlyMap<string, Entry>, name: string): Entry {
  const entry = entries.get(name);
  if (entry === undefined) throw new Error(`no ${name} in the catalogue`);
  return entry;
}

export const instrument = (name: string) => only(instruments, name);
