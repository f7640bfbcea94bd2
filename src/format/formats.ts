/** Formats of `check` and `sheet` by name. */

import type { Check } from '../judge/check-result.ts';
import { checkView } from '../report/check.ts';
import { type Sheet, sheetView } from '../report/sheet.ts';
import { annotations, type CheckOptions, junit, sarif } from './ci.ts';
import { sheetCsv } from './csv.ts';
import { sheetPage } from './html.ts';
import { checkJson, sheetJson } from './json.ts';
import { renderText } from './text.ts';

const checkText = (check: Check, options: CheckOptions): string =>
  renderText(checkView(check, options), options);

/** Every way to show which limits are met: a pure function to text. A new format is a file and a line here. */
export const checkFormats = { text: checkText, json: checkJson, junit, sarif, annotations } satisfies Record<
  string,
  (check: Check, options: CheckOptions) => string
>;

export type CheckFormat = keyof typeof checkFormats;

export const isCheckFormat = (name: string): name is CheckFormat => Object.hasOwn(checkFormats, name);

/** Plain text of 80 columns, to be printed from anything: capitals set titles off. */
function sheetText(sheet: Sheet): string {
  const { sections, ...view } = sheetView(sheet);
  const inCapitals = sections.map((section) => ({ ...section, title: section.title.toUpperCase() }));
  return renderText({ ...view, sections: inCapitals }, { width: 80, colour: false });
}

/** Every way to show a load-in sheet: a pure function from sheet to text. */
export const sheetFormats = {
  text: sheetText,
  csv: sheetCsv,
  html: sheetPage,
  json: sheetJson,
} satisfies Record<string, (sheet: Sheet) => string>;

export type SheetFormat = keyof typeof sheetFormats;
