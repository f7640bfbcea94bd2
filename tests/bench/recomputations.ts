/** Full recomputations: all that a scene's energies take, from its rooms on. */

import type { Scene } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { perSecond, say, sayRate } from './measure.ts';
import { oneRoom, threeRooms } from './scenes.ts';

const GOALS = { box: 2000, screens: 120 } as const;

export function recomputations(): void {
  const rate = (scene: Scene, stretch?: number): number => {
    const { prepared } = transfer(scene);
    return perSecond(() => void transfer(scene, prepared), stretch);
  };
  sayRate('recomputing 16 sources, 24 microphones, 8 bands, one box room', rate(oneRoom()), GOALS.box);
  const six = rate(threeRooms(6));
  sayRate('the same with 6 baffles and 3 rooms', six, GOALS.screens);
  say('time by number of baffles, 3 rooms, against 6 baffles:');
  for (const panels of [0, 1, 2, 4, 8, 16])
    say(`  ${String(panels).padStart(2)}  ${(six / rate(threeRooms(panels), 0.15)).toFixed(2)}`);
}
