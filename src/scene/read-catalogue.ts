/** From the parsed files of shared/catalogue to the typed catalogue. */
import type { Catalogue, Citation } from './catalogue.ts';
import { type RawCover, toCover } from './cover.ts';
import { type RawHeadphones, toHeadphones } from './headphones.ts';
import type { RawInstrument, RawKit, RawPosture } from './instrument-file.ts';
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
  const { posture } = written;
  const cited = written['material-sources'];
  return {
    instruments: new Map(
      Object.values(families).flatMap((family) => [
        ...entries(family, (name, raw) => toInstrument(name, raw, posture)),
      ]),
    ),
    kits: entries(kits, (name, raw) => toKit(name, raw, posture)),
    covers: entries(written.covers, toCover),
    headphones: entries(written.headphones, toHeadphones),
    materials: readMaterials({ ...written, sources: cited }),
    posture: toPosture(posture),
    citations: new Map(Object.entries({ ...written.sources, ...cited })),
  };
}

function entries<Raw, Entry>(
  file: Readonly<Record<string, Raw>>,
  read: (name: string, raw: Raw) => Entry,
): ReadonlyMap<string, Entry> {
  return new Map(Object.entries(file).map(([name, raw]) => [name, read(name, raw)]));
}
