import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { readMaterials, type WrittenMaterial, type WrittenMaterials } from '../../src/catalogue/catalogue.ts';

const catalogue = (file: string) =>
  parse(readFileSync(new URL(`../../shared/catalogue/${file}.yaml`, import.meta.url), 'utf8'));

/** The material files as they ship, parsed but not yet read. */
export const written: WrittenMaterials = {
  finishes: catalogue('finishes'),
  contents: catalogue('contents'),
  constructions: catalogue('constructions'),
  doors: catalogue('doors'),
  glazings: catalogue('glazings'),
  panels: catalogue('panels'),
  patterns: catalogue('patterns'),
  sources: catalogue('material-sources'),
};

export const materials = readMaterials(written);

const { sources: _, ...files } = written;

/** Every entry of every file: ['panels', 'duvet', {...}]. */
export const everyEntry: readonly (readonly [string, string, WrittenMaterial])[] = Object.entries(
  files,
).flatMap(([file, entries]) => Object.entries(entries).map(([name, entry]) => [file, name, entry] as const));
