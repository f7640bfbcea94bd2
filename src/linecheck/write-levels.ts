/** New levels put into the text of a plan, each where the plan says or would say it. */
import type { Path } from '../finding.ts';
import { setIn } from '../plan/edit.ts';
import type { Level } from '../plan/plan-values.ts';
import type { NewLevel } from './new-levels.ts';

export type Written = {
  readonly text: string;
  /** Names for which the text has no place: what they are is written elsewhere for several at once. */
  readonly left: readonly string[];
};

export function writeLevels(plan: string, levels: readonly NewLevel[]): Written {
  let text = plan;
  const left: string[] = [];
  for (const one of levels) {
    const edited = withLevel(text, one);
    if (edited === null) left.push(one.name);
    else text = edited;
  }
  return { text, left };
}

const UNIT = { Z: 'dB', A: 'dBA', C: 'dBC' } as const;

const said = ({ spl, weighting, at }: Level): string =>
  `${spl.toFixed(2).replace(/0$/, '')} ${UNIT[weighting]} at ${inMetres(at)}`;
const inMetres = (at: number): string => `${Number(at.toFixed(3))} m`;

/** A level that is written as a map becomes one value: it says the same. */
function withLevel(text: string, { path, level, instrument }: NewLevel): string | null {
  const edited = setIn(text, { path: [...path, 'level'], value: said(level) });
  if ('text' in edited) return edited.text;
  if (edited.problem !== 'scalar' || instrument === null) return null;
  return inFull(text, path, `{instrument: ${instrument}, level: ${said(level)}}`);
}

/** An instrument in one word, as `guitar: steel-string-guitar`, becomes a map of keys. */
function inFull(text: string, path: Path, value: string): string | null {
  const edited = setIn(text, { path, value });
  return 'text' in edited ? edited.text : null;
}
