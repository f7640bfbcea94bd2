/** Which rows and columns hang together: linked through readings, and to nothing else. */

export type Linked = { readonly row: number; readonly column: number };

export type Group = { readonly rows: readonly number[]; readonly columns: readonly number[] };

/** Connected components of the graph that has a reading as its edge; what was not read is in none. */
export function groupsOf(readings: readonly Linked[]): Group[] {
  const groups: { rows: Set<number>; columns: Set<number> }[] = [];
  for (const { row, column } of readings) {
    const met = groups.filter(({ rows, columns }) => rows.has(row) || columns.has(column));
    const [into, ...others] = met;
    if (!into) {
      groups.push({ rows: new Set([row]), columns: new Set([column]) });
      continue;
    }
    into.rows.add(row);
    into.columns.add(column);
    for (const other of others) {
      for (const one of other.rows) into.rows.add(one);
      for (const one of other.columns) into.columns.add(one);
      groups.splice(groups.indexOf(other), 1);
    }
  }
  const ascending = (set: Set<number>) => [...set].sort((a, b) => a - b);
  return groups.map(({ rows, columns }) => ({ rows: ascending(rows), columns: ascending(columns) }));
}
