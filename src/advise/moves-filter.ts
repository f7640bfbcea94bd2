/** Filtering a mic's lows away: never above the lowest note of what it is for. */
import type { Idea, MoveMaker } from './move.ts';
import { nodeOf } from './written.ts';

/** Corners as they are marked on desks, Hz. Common practice, no source. */
const CORNERS = [40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400];

export const filterMoves: MoveMaker = ({ scene, tree }, { mics }) =>
  scene.mics.flatMap(({ name, purpose, line, wanted, highPass }): Idea[] => {
    if (purpose !== 'parts' || line || !mics.has(name)) return [];
    const lowest = Math.min(...wanted.map((source) => scene.sources[source]?.lowestNote ?? 0));
    const path = ['mics', name, 'high-pass'];
    const written =
      tree && highPass && highPass.slope !== 12 ? (at: number) => ({ at, slope: highPass.slope }) : null;
    return CORNERS.filter((at) => at > (highPass?.at ?? 0) && at <= lowest).map((at) => ({
      kind: 'high-pass',
      about: [name],
      edits: [{ path, value: nodeOf(written ? written(at) : `${at} Hz`) }],
      say: () => `high-pass ${name} at ${at} Hz`,
    }));
  });
