/** From the parsed files of shared/catalogue to the typed catalogue. */
import type { Catalogue, Citation } from './catalogue.ts';
import { type RawCover, toCover } from './cover.ts';
import { type RawHeadphones, toHeadphones } from './headphones.ts';
import type { RawInstrument, RawKit, RawPosture } from './instrument-file.ts';
import { lazyMap } from './lazy-map.ts';
import { toInstrument, toKit, toPosture } from './read-instrument.ts';
import { readMaterials, type WrittenMaterials } from './read-materials.ts';

/** The files by name without `.yaml`, folders as maps; their schemas lie in shared/schemas. */
export type WrittenCatalogue = Omit<WrittenMaterials, 'sources'> & {
  readonly 'material-sources': WrittenMaterials['sources'];
  readonly sources: Readonly<Record<string, Citation>>;
  readonly posture: RawPosture;
  readonly covers: Readonly<Record<string, RawCover>>;
  readonly headphones: Readonly<Record<string, RawHeadphones>>;
  readonly instruments: { readonly kits: Readonly<Record<string, RawKit>> } & {
    readonly [family: string]: Readonly<Record<string, RawInstrument>>;
  };
};

/** The files are ours and are checked against their schemas: what does not fit is our bug and throws. */
export function readCatalogue(written: WrittenCatalogue): Catalogue {
  const { kits, ...families } = written.instruments;
  const named = Object.entries(families).flatMap(([family, file]) =>
    Object.entries(file).map(([name, raw]) => [family, name, raw] as const),
  );
  const { posture } = written;
  const cited = written['material-sources'];
  return {
    instruments: lazyMap(Object.fromEntries(named.map(([, name, raw]) => [name, raw])), (name, raw) =>
      toInstrument(name, raw, posture),
    ),
    families: new Map(named.map(([family, name]) => [name, family])),
    kits: lazyMap(kits, (name, raw) => toKit(name, raw, posture)),
    covers: lazyMap(written.covers, toCover),
    headphones: lazyMap(written.headphones, toHeadphones),
    materials: readMaterials({ ...written, sources: cited }),
    posture: toPosture(posture),
    citations: new Map(Object.entries({ ...written.sources, ...cited })),
  };
}
