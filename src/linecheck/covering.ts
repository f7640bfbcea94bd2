import type { Row } from './readings.ts';

export type Covering = { readonly rows: readonly number[]; readonly lacking: readonly number[] };

/** Rows that together hold these sources and no other, the largest first, no source twice; and sources in none. */
export function covering(rows: readonly Row[], sources: readonly number[]): Covering {
  const left = new Set(sources);
  const within = [...rows.keys()]
    .filter((row) => rows[row]?.sources.every((source) => left.has(source)))
    .sort((a, b) => (rows[b]?.sources.length ?? 0) - (rows[a]?.sources.length ?? 0));
  const taken = within.filter((row) => {
    const { sources: held } = rows[row] as Row;
    if (!held.every((source) => left.has(source))) return false;
    for (const source of held) left.delete(source);
    return true;
  });
  return { rows: taken, lacking: [...left] };
}
