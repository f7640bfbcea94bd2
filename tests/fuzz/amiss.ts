/** What no output may hold, wherever it came from. */

/** `data` is shown to nobody as it is. */
export type Kind = 'text' | 'json' | 'data';

/** Words of the language that come out where a figure or a word was lost. */
const LOST = /\bNaN\b|\bInfinity\b|\bundefined\b|\[object /;
/** Controls but for the line break, marks that turn or hide text, halves of characters. Unicode 15, General Category. */
const STEERS = /(?!\n|\r\n|[\u200c\u200d])[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;

/** In words; none where all is well. */
export function amissIn(text: string, kind: Kind): string[] {
  const found: string[] = [];
  const lost = LOST.exec(text);
  if (lost) found.push(`it says ${JSON.stringify(around(text, lost.index))}`);
  const steers = kind === 'data' ? null : STEERS.exec(text);
  if (steers) found.push(`a raw control character: ${JSON.stringify(around(text, steers.index))}`);
  if (kind === 'json' && !isJson(text)) found.push('it is no JSON');
  if (text.trim() === '') found.push('it is empty');
  return found;
}

const around = (text: string, at: number): string => text.slice(Math.max(0, at - 60), at + 40);

function isJson(text: string): boolean {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
}

/** Where in plain data a number is none; null where all are. Views of numbers are looked through, too. */
export function strangeIn(value: unknown, path = ''): string | null {
  if (typeof value === 'number') return Number.isFinite(value) ? null : `${path || 'it'} is ${value}`;
  if (typeof value !== 'object' || value === null || value instanceof Date) return null;
  if (ArrayBuffer.isView(value) && 'findIndex' in value) {
    const at = (value as Float64Array).findIndex((one) => !Number.isFinite(one));
    return at < 0 ? null : `${path}[${at}] is ${(value as Float64Array)[at]}`;
  }
  const entries = value instanceof Map ? [...value] : Object.entries(value);
  for (const [key, item] of entries) {
    const found = strangeIn(item, `${path}.${String(key)}`);
    if (found !== null) return found;
  }
  return null;
}
