/** Names as text. Each stands on its middle, so that one written from right to left stands as well as any. */
import { line, mark, plain } from './mark.ts';
import { PITCH, type PlacedName, SIZES, sizeOf } from './name-box.ts';

/** Where the foot of the letters lies under the middle of a line, in sizes. */
const FOOT = 0.35;

export function nameMarks({ name, box, leader }: PlacedName): string {
  const middle = (box.left + box.right) / 2;
  const size = sizeOf(name.kind);
  const notePart = name.note === null ? 0 : SIZES.note * PITCH;
  const first = (box.top + box.bottom - notePart) / 2;
  const kind = name.kind === 'figure' ? `label small ${name.noteKind}` : `label ${name.kind}`;
  const note =
    name.note === null
      ? ''
      : text(`label small ${name.noteKind}`, name.note, middle, {
          foot: (box.top + box.bottom + size * PITCH) / 2 + FOOT * SIZES.note,
        });
  const thread = leader ? line('leader', leader) : '';
  return `${thread}${text(kind, name.text, middle, { foot: first + FOOT * size })}${note}\n`;
}

/** Strong letters of scripts that run from right to left. */
const LEFTWARD = /^[^\p{L}]*[\p{sc=Hebr}\p{sc=Arab}\p{sc=Syrc}\p{sc=Thaa}\p{sc=Nkoo}\p{sc=Adlm}]/u;

/** What another wrote, isolated from the direction of all around it. */
export function text(kind: string, content: string, x: number, { foot }: { readonly foot: number }): string {
  const direction = LEFTWARD.test(content) ? { direction: 'rtl' } : {};
  return mark('text', { class: kind, x, y: foot, ...direction }, plain(content));
}
