/** Data that ships with the code. */
import { readFileSync } from 'node:fs';
import type { Catalogue } from './scene/catalogue.ts';
import { readCatalogue } from './scene/read-catalogue.ts';

/**
 * The catalogue, from the one file into which the build puts shared/catalogue. The path holds from src/ and from dist/ alike,
 * so that there is one way to load.
 */
export function shippedCatalogue(): Catalogue {
  return readCatalogue(JSON.parse(readFileSync(new URL('../dist/catalogue.json', import.meta.url), 'utf8')));
}
