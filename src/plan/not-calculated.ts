/** Keys of the plan format that this version does not calculate yet: refused, never passed over. */
import type { Path } from '../finding.ts';
import type { Node } from './tree.ts';

/** Shrinks as work comes; * stands for any name. */
const KEYS: readonly Path[] = [];

/** Every place in a plan where such a key is written. */
export const notCalculated = (plan: Node): Path[] => KEYS.flatMap((key) => [...places(plan, key)]);

function* places(node: Node, [step, ...rest]: Path, above: Path = []): Generator<Path> {
  if (step === undefined) yield above;
  else if (node.kind === 'map') {
    for (const [key, entry] of node.entries) {
      if (step === '*' || step === key) yield* places(entry.node, rest, [...above, key]);
    }
  }
}
