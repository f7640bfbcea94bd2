import { sheetCsv } from './csv.ts';
import { sheetJson } from './json.ts';
import { sheetPage } from './page.ts';
import type { Sheet } from './sheet.ts';
import { sheetText } from './text.ts';

/** Every way to show a load-in sheet: a pure function from sheet to text. */
export const sheetFormats = {
  text: sheetText,
  csv: sheetCsv,
  html: sheetPage,
  json: sheetJson,
} satisfies Record<string, (sheet: Sheet) => string>;

export type SheetFormat = keyof typeof sheetFormats;
