/** A level as people write it: `-23.4`, `−23,4 dBFS`, `74 dBA`; `-` or nothing for a gap. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';

export type LevelCell =
  | { readonly ok: true; readonly level: number | null; readonly unit: string }
  | { readonly ok: false; readonly message: string; readonly mend: string };

/** Further from nothing than this no scale of levels reaches, dB. */
const FURTHEST = 300;
const FIGURE = /^([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?)\s*(db[^\d]*)?$/i;
/** Digital silence is no reading: nothing was heard. */
const NOTHING = /^(?:|-+|n\/?a|[+-]?(?:inf(?:inity)?|∞)(?:\s*db.*)?)$/i;

export function levelCell(text: string): LevelCell {
  const plain = text.replace(/[−–—]/g, '-');
  if (NOTHING.test(plain)) return { ok: true, level: null, unit: '' };
  const [whole, digits = '', unit = ''] = FIGURE.exec(plain) ?? [];
  const level = Number(digits.replace(',', '.'));
  const mend = 'write a figure such as -23.4, or leave the cell empty';
  if (whole === undefined) return { ok: false, message: `${JSON.stringify(text)} is no level in dB`, mend };
  if (Math.abs(level) > FURTHEST)
    return { ok: false, message: `${text} is outside -${FURTHEST} to ${FURTHEST} dB`, mend };
  return { ok: true, level, unit: unit.toLowerCase().replace(/[\s()]/g, '') };
}

/** An octave by its nominal name: `63`, `1000 Hz`, `1k`, `1 kHz`, `31.5` for none of ours. Null where it is none. */
export function bandCell(text: string): number | null {
  const [, digits = '', kilo = ''] = /^(\d+(?:[.,]\d+)?)\s*(k?)(?:hz)?$/i.exec(text.trim()) ?? [];
  const hertz = Number(digits.replace(',', '.')) * (kilo === '' ? 1 : 1000);
  const band = NOMINAL_BANDS.findIndex((nominal) => Math.abs(nominal - hertz) < 0.5);
  return band < 0 ? null : band;
}
