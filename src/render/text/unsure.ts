import type { Assumption } from '../../scene/notes.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';

/** What the figures rest on without the plan saying so, and what no figure here holds. */
export function unsure(assumptions: readonly Assumption[], listed: boolean, layout: Layout): string[] {
  const count = counted(assumptions.length, 'assumption');
  const summary =
    assumptions.length === 0
      ? 'The plan says everything: no assumptions.'
      : `${count} made where the plan is silent`;
  const how = assumptions.length === 0 ? '' : listed ? ':' : '; --assumptions lists them.';
  const list = listed ? assumptions.flatMap((one) => wrap(sentence(one), layout.width, '  - ', '    ')) : [];
  return [
    layout.paint.strong('Not sure about'),
    ...wrap(summary + how, layout.width, '  '),
    ...list,
    ...wrap(LEFT_OUT, layout.width, '  '),
  ];
}

const LEFT_OUT =
  'Not in any figure: single room modes, the lobes of instruments, the shadow of bodies, and panels are thin and flat.';

const sentence = ({ path, kind, text }: Assumption): string =>
  `${[path.join('.'), text].filter((part) => part !== '').join(': ')} (${kind})`;
