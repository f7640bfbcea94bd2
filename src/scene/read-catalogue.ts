/** From the parsed files of shared/catalogue to the typed catalogue. */
import type { Catalogue } from './catalogue.ts';
import { type RawCover, toCover } from './cover.ts';
import type { RawInstrument, RawKit, RawPosture } from './instrument-file.ts';
import { toInstrument, toKit, toPosture } from './read-instrument.ts';
import { readMaterials, type WrittenMaterials } from './read-materials.ts';

/** The files by name without `.yaml`, folders as maps; their schemas lie in shared/schemas. */
export type WrittenCatalogue = Omit<WrittenMaterials, 'sources'> & {
  readonly 'material-sources': WrittenMaterials['sources'];
  readonly posture: RawPosture;
  readonly covers: Readonly<Record<string, RawCover>>;
  readonly instruments: { readonly kits: Readonly<Record<string, RawKit>> } & {
    readonly [family: string]: Readonly<Record<string, RawInstrument>>;
  };
};

/** The files are ours and are checked against their schemas: what does not fit is our bug and throws. */
export function readCatalogue(written: WrittenCatalogue): Catalogue {
  const { kits, ...families } = written.instruments;
  const instruments = Object.values(families).flatMap((family) => Object.entries(family));
  const { posture } = written;
  return {
    instruments: new Map(instruments.map(([name, raw]) => [name, toInstrument(name, raw, posture)])),
    kits: new Map(Object.entries(kits).map(([name, raw]) => [name, toKit(name, raw, posture)])),
    covers: new Map(Object.entries(written.covers).map(([name, raw]) => [name, toCover(name, raw)])),
    materials: readMaterials({ ...written, sources: written['material-sources'] }),
    posture: toPosture(posture),
  };
}
