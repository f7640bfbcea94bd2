import { describe, expect, test } from 'vitest';
import { safetyCautions } from '../../src/judge/exposure.ts';
import type { Panel } from '../../src/scene/scene.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { boxRoom, none, sceneOf } from '../build-scene.ts';
import { person, sounding } from './people.ts';
import { computed, house } from './why-plans.ts';

const messages = (parts: Partial<Parameters<typeof sceneOf>[0]>) =>
  safetyCautions(sceneOf({ sources: [], capsules: [], ...parts })).map(({ message }) => message);

describe('words of caution', () => {
  test('are none where the plan gives no cause', () => {
    expect(messages({ rooms: [boxRoom(5, 4, 3)], players: [person('a', [1, 1, 1], { room: 0 })] })).toEqual(
      [],
    );
  });

  test('on air and heat in a booth with someone in it, and only then', () => {
    const rooms = [boxRoom(2, 2, 2.2, { name: 'closet', booth: true })];
    expect(messages({ rooms })).toEqual([]);
    const [word] = messages({ rooms, players: [person('a', [1, 1, 1], { room: 0 })] });
    expect(word).toMatch(/^closet is closed: .*ventilate/);
  });

  test('on exits and standing screens, each once however many baffles there are', async () => {
    const { scene } = await computed(house);
    const found = safetyCautions({ ...scene, panels: [...scene.panels, ...scene.panels] });
    expect(found.map(({ path }) => path)).toEqual([
      ['rooms', 'booth'],
      ['baffles', 'screen'],
      ['baffles', 'screen'],
    ]);
    expect(found.every(({ code, severity }) => code === 'WARNING' && severity === 'warning')).toBe(true);
  });

  test('do not take the walls of a booth for baffles', () => {
    const wall: Panel = {
      name: 'booth, top',
      path: ['rooms', 'booth'],
      room: 0,
      a: [0, 0],
      b: [1, 0],
      low: 0,
      high: 2,
      tau: none,
      alpha: none,
      windowFrom: Number.POSITIVE_INFINITY,
      booth: 1,
    };
    expect(messages({ panels: [wall] })).toEqual([]);
  });

  test('on mains for everything in the catalogue that is a loudspeaker, and for nothing else', () => {
    const { families } = shippedCatalogue();
    for (const [instrument, family] of families) {
      const found = messages({ sources: [sounding('one', [0, 0, 0], 80, { instrument })] });
      expect([instrument, found.length]).toEqual([instrument, family === 'loudspeakers' ? 1 : 0]);
    }
  });
});
