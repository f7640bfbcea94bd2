import type { Shelf } from '../schema-frame.ts';

/** Names of the catalogue by shelf. */
export type Shelves = Readonly<Record<Shelf, readonly string[]>>;
