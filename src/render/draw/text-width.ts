/**
 * How wide a text is taken to be, in units of its size. Made to err on the wide side of common sans-serif faces: what is
 * placed by it has room, whatever face the reader has.
 */

const NARROW = /[ijl.,:;'|!()[\]\-·]/;
const BROAD = /[mwMW@%&—…]/;
const CAPITAL = /[\p{Lu}\d_=+<>?#$−]/u;
/** East Asian wide scripts, and what shows as a picture. */
const SQUARE =
  /[\p{scx=Han}\p{scx=Hira}\p{scx=Kana}\p{sc=Hangul}\u3000-\u303e\uff01-\uff60\p{ExtPict}\p{RI}]/u;
const NOTHING = /\p{M}|\u200c|\u200d|\ufe0f/u;

export function textWidth(text: string, size: number): number {
  let ems = 0;
  for (const character of text) ems += widthOf(character);
  return ems * size;
}

function widthOf(character: string): number {
  if (NOTHING.test(character)) return 0;
  if (/[A-Za-z0-9 ]/.test(character) === false && SQUARE.test(character)) return 1.35;
  if (NARROW.test(character)) return 0.4;
  if (BROAD.test(character)) return 1;
  if (character === ' ') return 0.34;
  return CAPITAL.test(character) ? 0.72 : 0.65;
}

/** Words set in lines no wider than `width`; a word that is wider by itself stands alone. */
export function setInLines(text: string, size: number, width: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    const longer = last === undefined ? word : `${last} ${word}`;
    if (last === undefined || textWidth(longer, size) > width) lines.push(word);
    else lines[lines.length - 1] = longer;
  }
  return lines;
}

/** As much of a text as fits, the loss marked with an ellipsis. */
export function fitText(text: string, size: number, width: number): string {
  if (textWidth(text, size) <= width) return text;
  const characters = [...text];
  while (characters.length > 0 && textWidth(`${characters.join('')}…`, size) > width) characters.pop();
  return `${characters.join('')}…`;
}
