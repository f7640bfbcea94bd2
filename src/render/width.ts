/** Columns that text takes on a terminal: wide scripts and emoji take two, marks none. */

/** A flag, or a character with the marks, skin tones and joined characters that belong to it. */
const CLUSTER = /(?:\p{RI}\p{RI}|.)(?:\p{M}|\p{EMod}|\u200c|\u200d.?)*/gsu;
/** East Asian Wide and Fullwidth (Unicode Annex 11) by script and block, and what shows as a picture by itself. */
const WIDE =
  /^[\p{scx=Han}\p{scx=Hira}\p{scx=Kana}\p{sc=Hangul}\p{sc=Bopo}\p{sc=Yi}\u3000-\u303e\uff01-\uff60\uffe0-\uffe6\p{EPres}\p{RI}]/u;
const HALF_WIDTH = /^[\uff61-\uffdc\uffe8-\uffee\u00b7]/u;
const PICTURE = /^\p{ExtPict}\ufe0f/u;
const MARK_ONLY = /^[\p{M}\u200c\u200d]/u;
const ASCII = /^[\x20-\x7e]*$/;

export function displayWidth(text: string): number {
  if (ASCII.test(text)) return text.length;
  return clusters(text).reduce((sum, cluster) => sum + clusterWidth(cluster), 0);
}

/** Cut to a width, the loss marked with an ellipsis. */
export function cut(text: string, width: number): string {
  if (displayWidth(text) <= width) return text;
  return `${head(text, width - 1)}…`;
}

/** As much of the text's start as fits, never half a character. */
export function head(text: string, width: number): string {
  let kept = '';
  let left = width;
  for (const cluster of clusters(text)) {
    left -= clusterWidth(cluster);
    if (left < 0) break;
    kept += cluster;
  }
  return kept;
}

export const padEnd = (text: string, width: number): string => text + gap(text, width);
export const padStart = (text: string, width: number): string => gap(text, width) + text;

const gap = (text: string, width: number): string => ' '.repeat(Math.max(0, width - displayWidth(text)));

const clusters = (text: string): readonly string[] => text.match(CLUSTER) ?? [];

function clusterWidth(cluster: string): number {
  if (MARK_ONLY.test(cluster)) return 0;
  if (HALF_WIDTH.test(cluster)) return 1;
  return WIDE.test(cluster) || PICTURE.test(cluster) ? 2 : 1;
}
