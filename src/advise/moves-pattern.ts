/** Another pattern: one that the mic offers, or another mic from those on hand. */
import type { Idea, MoveMaker } from './move.ts';
import { nodeOf } from './written.ts';

export const patternMoves: MoveMaker = ({ scene, plan }, { mics }) =>
  scene.mics.flatMap(({ name, purpose, switchable }): Idea[] => {
    if (purpose !== 'parts' || !mics.has(name)) return [];
    return switchable
      .filter((pattern) => pattern !== patternOf(plan, name))
      .map((pattern) => ({
        kind: 'pattern',
        about: [name],
        edits: [{ path: ['mics', name, 'pattern'], value: nodeOf(pattern) }],
        say: () => `switch ${name} to ${pattern}`,
      }));
  });

export const swapMicMoves: MoveMaker = ({ scene, plan }, { mics }) =>
  scene.mics.flatMap(({ name, purpose, line }): Idea[] => {
    if (purpose !== 'parts' || line || !mics.has(name)) return [];
    return plan.onHand.mics.flatMap(({ patterns }, spare) =>
      patterns
        .filter((pattern) => pattern !== patternOf(plan, name))
        .map((pattern) => ({
          kind: 'swap-mic',
          about: [name],
          edits: [
            { path: ['mics', name, 'pattern'], value: nodeOf(pattern) },
            { path: ['mics', name, 'switchable'], value: nodeOf(patterns) },
          ],
          say: () => `put a ${pattern} from those on hand in the place of ${name}`,
          takes: [['mics', spare]],
        })),
    );
  });

function patternOf(plan: Parameters<MoveMaker>[0]['plan'], name: string): string {
  const pattern = plan.mics.get(name)?.pattern;
  return pattern === undefined ? 'cardioid' : 'name' in pattern ? pattern.name : '';
}
