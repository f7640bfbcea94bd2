import type { Node } from './tree.ts';

/** Every value of a plan that could be set to another, as one says its path: mics.voice-mic.aim.bearing. */
export function* pathsIn(node: Node, above = ''): Generator<string> {
  if (node.kind !== 'map') {
    if (above !== '') yield above;
    return;
  }
  for (const [key, entry] of node.entries) yield* pathsIn(entry.node, above === '' ? key : `${above}.${key}`);
}
