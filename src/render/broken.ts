/** Names over several lines: broken where one would break them by hand. */
import { displayWidth, head } from './width.ts';

/** At blanks; a word longer than a line after its hyphens and strokes, or else where the line ends. `goesOn` starts lines but the first. */
export function broken(text: string, width: number, goesOn = ''): string[] {
  const lines: string[] = [];
  const room = () => width - (lines.length === 0 ? 0 : displayWidth(goesOn));
  const put = (piece: string, between: string) => {
    const longer = `${lines.at(-1) ?? ''}${between}${piece}`;
    if (lines.length > 0 && displayWidth(longer) <= width) lines[lines.length - 1] = longer;
    else
      for (const part of split(piece, width - displayWidth(goesOn), room()))
        lines.push((lines.length === 0 ? '' : goesOn) + part);
  };
  for (const word of text.split(' ')) {
    const pieces = displayWidth(word) > room() ? word.split(/(?<=[-/])/) : [word];
    for (const [i, piece] of pieces.entries()) put(piece, i === 0 ? ' ' : '');
  }
  return lines;
}

/** By the lines that go on; the first has `room`. */
function split(piece: string, width: number, room = width): string[] {
  if (displayWidth(piece) <= room) return [piece];
  const start = head(piece, room);
  return start === '' ? [piece] : [start, ...split(piece.slice(start.length), width)];
}
