/** From a judged plan to its load-in sheet. */
import { escapeAll } from '../escape.ts';
import { hearingCaution } from '../hearing.ts';
import { type About, aboutOf, type SheetInput } from './about.ts';
import { headphones } from './headphones.ts';
import { inputs } from './inputs.ts';
import type { List, Sheet } from './sheet.ts';
import { baffles, covers, doors } from './states.ts';
import { tapeOut } from './tape-out.ts';

/** Lists without a row are left out. Controls in names are written out: they are other people's text. */
export function makeSheet(input: SheetInput): Sheet {
  const about = aboutOf(input);
  const lists = [inputs, tapeOut, baffles, covers, doors, headphones, cautions].map((list) => list(about));
  return escapeAll({ title: input.scene.title, lists: lists.filter(({ rows }) => rows.length > 0) });
}

function cautions({ report }: About): List {
  const hearing = hearingCaution(report);
  const all = report.cautions.map(({ message, mend }) => (mend ? `${message}; ${mend}` : message));
  return {
    key: 'cautions',
    title: 'Cautions',
    columns: [{ head: 'caution' }],
    rows: [...all, ...(hearing === null ? [] : [hearing])].map((text) => [text]),
    notes: [],
  };
}
