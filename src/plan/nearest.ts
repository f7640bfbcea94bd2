/** The name someone most likely meant. */

/** The candidate fewest edits away, or null where none is near enough to be meant. */
export function nearestName(written: string, candidates: Iterable<string>): string | null {
  let best: { name: string; edits: number } | null = null;
  for (const name of candidates) {
    const allowed = Math.max(1, Math.floor(Math.max(name.length, written.length) * 0.4));
    const edits = editsBetween(written.toLowerCase(), name.toLowerCase(), allowed);
    if (edits <= allowed && (!best || edits < best.edits)) best = { name, edits };
  }
  return best?.name ?? null;
}

/** Letters put in, left out, replaced, or swapped with their neighbour; anything over `cap` may be returned as cap + 1. */
function editsBetween(a: string, b: string, cap: number): number {
  if (Math.abs(a.length - b.length) > cap) return cap + 1;
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      const plain = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + same);
      row.push(swapped ? Math.min(plain, (before[j - 2] ?? 0) + 1) : plain);
    }
    [before, last] = [last, row];
  }
  return last[b.length] ?? 0;
}
