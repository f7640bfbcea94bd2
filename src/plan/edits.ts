/** Letters put in, left out, replaced, or swapped with their neighbour; anything over `cap` may be returned as cap + 1. */
export function editsBetween(a: string, b: string, cap: number): number {
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
