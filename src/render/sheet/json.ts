/** The sheet as JSON, shape version 1: shared/schemas/sheet.schema.json. Keys may be added within a version. */
import type { List, Sheet } from './sheet.ts';

export const sheetJson = ({ title, lists }: Sheet): string =>
  `${JSON.stringify({ spillcheck: 1, command: 'sheet', title, lists: lists.map(listShape) }, null, 2)}\n`;

const listShape = ({ key, title, columns, rows, notes }: List) => ({
  list: key,
  title,
  columns: columns.map(({ head }) => head),
  rows,
  notes,
});
