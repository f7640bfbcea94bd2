/** Whether two plain values are the same all through: what is alike need not be computed anew. */

export function alike(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (a instanceof Float64Array) return b instanceof Float64Array && sameItems(a, b);
  if (Array.isArray(a)) return Array.isArray(b) && sameItems(a, b);
  if (a instanceof Map) return b instanceof Map && sameItems([...a], [...b]);
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length &&
    keys.every((key) => alike(a[key as keyof typeof a], b[key as keyof typeof b]))
  );
}

function sameItems(a: ArrayLike<unknown>, b: ArrayLike<unknown>): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (!alike(a[i], b[i])) return false;
  return true;
}
