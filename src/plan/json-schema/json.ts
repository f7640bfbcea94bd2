/** Pieces of a JSON Schema. */
export type Json = { readonly [key: string]: unknown };

/** What stands once and is pointed at: the answer points at it. */
export type Define = (name: string, make: () => Json) => Json;

/** One of several, each once, those of its own kind taken in. */
export function anyOf(all: readonly Json[]): Json {
  const flat = all.flatMap((each) =>
    Object.keys(each).join() === 'anyOf' ? (each.anyOf as Json[]) : [each],
  );
  const once = [...new Map(flat.map((each) => [JSON.stringify(each), each])).values()];
  return once.length === 1 && once[0] ? once[0] : { anyOf: once };
}
