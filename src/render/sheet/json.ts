/** The sheet as JSON, shape version 1: shared/schemas/sheet.schema.json. Keys may be added within a version. */

import { jsonText } from '../json-text.ts';
import type { List, Sheet } from './sheet.ts';

export const sheetJson = ({ title, lists }: Sheet): string =>
  `${jsonText({ spillcheck: 1, command: 'sheet', title, lists: lists.map(listShape) }, 2)}\n`;

const listShape = ({ key, title, columns, rows, notes }: List) => ({
  list: key,
  title,
  columns: columns.map(({ head }) => head),
  rows,
  notes,
});
