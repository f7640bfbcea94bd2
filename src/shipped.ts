/** Data that ships with the code. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type Catalogue, readCatalogue } from './catalogue/catalogue.ts';

const CATALOGUE = new URL('../dist/catalogue.json', import.meta.url);

/**
 * The catalogue, from the one file into which the build puts shared/catalogue. The path holds from src/ and from dist/ alike,
 * so that there is one way to load.
 */
export function shippedCatalogue(): Catalogue {
  return readCatalogue(JSON.parse(readFileSync(CATALOGUE, 'utf8')));
}

/** Version of the catalogue: changes with whatever is in it. */
export const catalogueVersion = (): string =>
  createHash('sha256').update(readFileSync(CATALOGUE)).digest('hex').slice(0, 12);

/** Rooms with a starter plan. */
export const STARTERS = ['living-room', 'hall', 'church', 'garage'] as const;
export type Starter = (typeof STARTERS)[number];

export const shippedStarter = (room: Starter): string =>
  readFileSync(new URL(`../shared/starters/${room}.yaml`, import.meta.url), 'utf8');

export type Shell = 'bash' | 'zsh' | 'fish';

/** The completion script of a shell. */
export const shippedCompletion = (shell: Shell): string =>
  readFileSync(new URL(`../shared/completion/spillcheck.${shell}`, import.meta.url), 'utf8');

/** Path of the JSON Schema of plans on this machine. */
export const planSchemaFile = (): string =>
  fileURLToPath(new URL('../shared/schemas/plan.schema.json', import.meta.url));
