/** A map whose values are made when they are asked for: a plan names a few entries of a catalogue of hundreds. */

/** Entries of `written` by name, each read once, at its first use. */
export function lazyMap<Written, T>(
  written: Readonly<Record<string, Written>>,
  read: (name: string, written: Written) => T,
): ReadonlyMap<string, T> {
  const made = new Map<string, T>();
  const has = (name: string): boolean => Object.hasOwn(written, name);
  const get = (name: string): T | undefined => {
    if (!made.has(name) && has(name)) made.set(name, read(name, written[name] as Written));
    return made.get(name);
  };
  const keys = () => Object.keys(written)[Symbol.iterator]();
  const entries = () =>
    Object.keys(written)
      .map((name): [string, T] => [name, get(name) as T])
      [Symbol.iterator]();
  return {
    has,
    get,
    keys,
    entries,
    [Symbol.iterator]: entries,
    values: () =>
      Object.keys(written)
        .map((name) => get(name) as T)
        [Symbol.iterator](),
    forEach: (visit) => {
      for (const [name, value] of entries()) visit(value, name, made);
    },
    size: Object.keys(written).length,
  };
}
