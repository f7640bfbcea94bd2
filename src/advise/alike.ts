/** Whether two plain values are the same all through: what is alike need not be computed anew. */

/** Asked of whole scenes for every plan that is tried: it allocates nothing but for Maps. */
export function alike(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a)) return Array.isArray(b) && sameItems(a, b);
  if (a instanceof Float64Array) return b instanceof Float64Array && sameNumbers(a, b);
  if (a instanceof Map) return b instanceof Map && sameItems([...a], [...b]);
  return sameEntries(a as Plain, b as Plain);
}

type Plain = Readonly<Record<string, unknown>>;

function sameEntries(a: Plain, b: Plain): boolean {
  let more = 0;
  for (const key in a) {
    if (!alike(a[key], b[key]) || (a[key] === undefined && !Object.hasOwn(b, key))) return false;
    more++;
  }
  for (const _ in b) more--;
  return more === 0;
}

function sameItems(a: readonly unknown[], b: readonly unknown[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (!alike(a[i], b[i])) return false;
  return true;
}

function sameNumbers(a: Float64Array, b: Float64Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (!Object.is(a[i], b[i])) return false;
  return true;
}
