import { visible } from '../plan/visible.ts';

/** A copy of plain data with every text in it made harmless to a terminal; arrays of numbers stay as they are. */
export function escapeAll<T>(value: T): T {
  return escapeValue(value) as T;
}

function escapeValue(value: unknown): unknown {
  if (typeof value === 'string') return visible(value);
  if (Array.isArray(value)) return value.map(escapeValue);
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, escapeValue(item)]));
}
