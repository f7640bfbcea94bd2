import { describe, expect, test } from 'vitest';
import { resolved } from './resolved.ts';

const told = async (text: string): Promise<string[]> => {
  const { scene, findings } = await resolved(text);
  expect(scene).not.toBeNull();
  return findings.map(({ severity, path, message }) => `${severity} ${path.join('.')}: ${message}`);
};

/** The catalogue has a trumpet's bell 0.6 m before its player, 1.05 m up where he sits; a screen as high as one likes. */
const plan = (at: string, height: number, mic = 'near: {distance: 30 cm}'): string => `baffles:
  screen: {from: [-1, 0], to: [1, 0], height: ${height}, made-of: upholstered-baffle}
players:
  trumpet: {at: ${at}, facing: 180, plays: trumpet}
mics:
  trumpet-mic: {for: trumpet, ${mic}, pattern: omni}
`;

describe('what a baffle parts', () => {
  test('a bell 0.6 m before its player, and a screen 0.4 m before him', async () => {
    expect(await told(plan('[0, 0.4]', 1.5))).toEqual([
      'warning players.trumpet: trumpet extends through screen and radiates on its far side',
    ]);
  });

  test('nothing at 1.2 m from it, nor beside it', async () => {
    expect(await told(plan('[0, 1.2]', 1.5))).toEqual([]);
    expect(await told(plan('[1.5, 0.4]', 1.5))).toEqual([]);
  });

  // From eyes at about 1.2 m down to the bell at 1.05 m nothing lies lower than that.
  test('over one of 0.9 m it plays', async () => {
    expect(await told(plan('[0, 0.4]', 0.9))).toEqual([]);
  });

  // The bell of a player at y = 1 is at y = 0.4; the microphone 0.3 m beyond the screen.
  test('a close microphone on its far side', async () => {
    expect(await told(plan('[0, 1]', 1.5, 'at: [0, -0.3, 1]'))).toEqual([
      'warning mics.trumpet-mic: screen is between trumpet-mic and its source, trumpet',
    ]);
  });

  // 2.4 m from the bell: no close one, but one that listens from afar.
  test('one far off may listen past it', async () => {
    expect(await told(plan('[0, 1]', 1.5, 'at: [0, -2, 1]'))).toEqual([]);
  });

  test('of a kit it is said once, however many pieces are beyond the screen', async () => {
    const messages = await told(`baffles:
  screen: {from: [-2, 0], to: [2, 0], height: 2, made-of: upholstered-baffle}
players:
  drums: {at: [0, 0.2], facing: 180, plays: drum-kit}
`);
    expect(messages).toEqual([
      'warning players.drums: part of drums extends through screen and radiates on its far side',
    ]);
  });
});
