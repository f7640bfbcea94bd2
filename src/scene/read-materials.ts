/** From the parsed files of the catalogue of materials to typed entries. */
import { BAND_COUNT, energyOf, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { type BandScale, type ByBand, byBand } from './by-band.ts';
import { lazyMap } from './lazy-map.ts';
import type { CataloguePattern, Construction, Content, Figure, Finish, Materials } from './material.ts';
import { HIGHEST_ABSORPTION, type MaterialSource } from './material.ts';
import { type Claim, originOf } from './origin.ts';

/** An entry as written; `shared/schemas/catalogue-materials.schema.json` says which keys go where. */
export type WrittenMaterial = {
  readonly group: string;
  readonly says: string;
  readonly also?: readonly string[];
  readonly absorption?: ByBand;
  readonly each?: ByBand;
  readonly 'per-area'?: ByBand;
  readonly reduction?: ByBand;
  readonly 'window-from'?: number;
  readonly a?: ByBand;
  /** dB re on axis by band, at even steps from 0 to 180°; bands left out are 0 dB at every angle. */
  readonly 'off-axis'?: Readonly<Record<string, readonly number[]>>;
  readonly 'self-noise'?: number;
  readonly from: readonly Claim[];
};

type WrittenFile = Readonly<Record<string, WrittenMaterial>>;

/** The parsed files; `sources` is `material-sources.yaml`, every other key the file of that name. */
export type WrittenMaterials = { readonly [file in Exclude<keyof Materials, 'sources'>]: WrittenFile } & {
  readonly sources: Readonly<Record<string, MaterialSource>>;
};

/** The files are ours and are checked against their schema: what does not fit is our bug and throws. */
export function readMaterials(written: WrittenMaterials): Materials {
  return {
    finishes: entries(written.finishes, finish),
    contents: entries(written.contents, content),
    constructions: entries(written.constructions, construction),
    doors: entries(written.doors, construction),
    glazings: entries(written.glazings, construction),
    panels: entries(written.panels, construction),
    patterns: entries(written.patterns, pattern),
    sources: new Map(Object.entries(written.sources)),
  };
}

type Named = WrittenMaterial & { readonly name: string };

function entries<T>(file: WrittenFile, read: (entry: Named) => T): ReadonlyMap<string, T> {
  return lazyMap(file, (name, entry) => read({ ...entry, name }));
}

const head = ({ name, group, says, also = [] }: Named) => ({ name, group, says, also });

const finish = (entry: Named): Finish => ({
  ...head(entry),
  absorption: needed(entry, 'absorption', coefficient(entry, 'absorption')),
});

const content = (entry: Named): Content => ({
  ...head(entry),
  each: figure(entry, 'each', 'linear'),
  perArea: coefficient(entry, 'per-area'),
});

const construction = (entry: Named): Construction => ({
  ...head(entry),
  reduction: needed(entry, 'reduction', figure(entry, 'reduction', 'decibel')),
  absorption: coefficient(entry, 'absorption'),
  windowFrom: entry['window-from'] ?? null,
});

function pattern(entry: Named): CataloguePattern {
  const noise = entry['self-noise'];
  const selfNoise = noise === undefined ? null : { value: noise, from: origin(entry, 'self-noise') };
  const a = figure(entry, 'a', 'linear');
  return { ...head(entry), response: a ? { kind: 'first-order', a } : table(entry), selfNoise };
}

function table(entry: Named): CataloguePattern['response'] {
  const written = needed(entry, 'off-axis', entry['off-axis'] ?? null);
  const rows = Math.max(...Object.values(written).map((levels) => levels.length));
  const energy = Float64Array.from({ length: rows * BAND_COUNT }, (_, i) => {
    const levels = written[NOMINAL_BANDS[i % BAND_COUNT] ?? ''];
    return energyOf(levels?.[Math.floor(i / BAND_COUNT)] ?? 0);
  });
  return { kind: 'table', rows, energy, from: origin(entry, 'off-axis') };
}

type BandKey = 'absorption' | 'each' | 'per-area' | 'reduction' | 'a';

function coefficient(entry: Named, key: 'absorption' | 'per-area'): Figure | null {
  const written = figure(entry, key, 'linear');
  if (!written) return null;
  const kept = NOMINAL_BANDS.filter((_, band) => (written.values[band] ?? 0) > HIGHEST_ABSORPTION);
  return { ...written, values: written.values.map((alpha) => Math.min(alpha, HIGHEST_ABSORPTION)), kept };
}

function figure(entry: Named, key: BandKey, scale: BandScale): Figure | null {
  const written = entry[key];
  if (written === undefined) return null;
  const claimed = NOMINAL_BANDS.filter((band) => entry.from.some(({ of }) => of.includes(`${key}.${band}`)));
  const bandsFrom = new Map(claimed.map((band) => [band, origin(entry, `${key}.${band}`)]));
  return { ...byBand(written, scale), kept: [], from: origin(entry, key), bandsFrom };
}

const origin = (entry: Named, key: string) => originOf(entry.from, key, entry.name);

function needed<T>(entry: Named, key: string, value: T | null): T {
  if (value === null) throw new Error(`catalogue: ${entry.name} lacks ${key}`);
  return value;
}
