/** The catalogue as JSON, shape version 1: shared/schemas/catalogue.schema.json. Keys may be added within a version. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { CatalogueEntry, ShownFigure } from '../scene/catalogue-entry.ts';
import { jsonText } from './json-text.ts';
import { type Cited, citedKeys } from './text/catalogue-sources.ts';

/** `all` is what the catalogue holds, `shown` what was asked for. */
export function catalogueJson(
  all: readonly CatalogueEntry[],
  shown: readonly CatalogueEntry[],
  cited: Cited,
): string {
  const kinds = [...new Set(all.map(({ kind }) => kind))].map((kind) => ({
    kind,
    names: all.filter((entry) => entry.kind === kind).map(({ name }) => name),
  }));
  const shape = {
    spillcheck: 1,
    command: 'catalogue',
    bands_hz: NOMINAL_BANDS,
    kinds,
    entries: shown.map((entry) => ({ ...entry, figures: entry.figures.map(figureShape) })),
    sources: citedKeys(shown, cited).map((key) => {
      const { cite = '', read, where, note } = cited.get(key) ?? {};
      return { key, cite, read: read ?? where ?? null, note: note ?? null };
    }),
  };
  return `${jsonText(shape, 2)}\n`;
}

const figureShape = ({ digits: _, rows, origins, ...figure }: ShownFigure) => ({
  ...figure,
  rows: rows.map(({ label, values }) => ({ label, values: values.map(rounded) })),
  origins: origins.map(({ of, origin }) => ({ of, ...origin })),
});

/** To 0.001; null stays silence. */
const rounded = (value: number | null): number | null =>
  value === null ? null : Math.round(value * 1000) / 1000 + 0;
