import { displayWidth, head } from './width.ts';

/** Breaks a text into lines at spaces; `first` starts the first line, `rest` the others. Overlong words are split. */
export function wrap(text: string, width: number, first = '', rest = first): string[] {
  const lines: string[] = [];
  let line = '';
  const indent = () => (lines.length === 0 ? first : rest);
  const room = () => width - displayWidth(indent());
  for (const word of text.split(' ').flatMap((part) => pieces(part, width - displayWidth(rest)))) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && displayWidth(longer) > room()) {
      lines.push(indent() + line);
      line = word;
    } else line = longer;
  }
  return [...lines, indent() + line];
}

function pieces(word: string, width: number): string[] {
  if (displayWidth(word) <= width) return [word];
  const start = head(word, width);
  return start === '' ? [word] : [start, ...pieces(word.slice(start.length), width)];
}
