/** A plan laid over a studio is the plan written whole: the same scene, number for number. Both are invented. */
import { expect, test } from 'vitest';
import { resolved, sceneOf } from './resolved.ts';

const STUDIO = `spillcheck: 1
title: A studio that does not exist
units: ft
air: {temperature: 22}
rooms:
  live: {size: [30, 20], height: 10, floor: parquet, ceiling: acoustic-tile, walls: plaster}
  booth: {size: [8, 6], origin: [30, 0], height: 8, floor: carpet-heavy, walls: wool-50}
  store: {size: [4, 4], origin: [30, 10], height: 8}
partitions:
  wall:
    between: [live, booth]
    wall: stud-gypsum-insulated
    doors: [{at: [30, 3], width: 3, height: 6.5, leaf: solid-core-sealed, state: closed}]
baffles:
  tall: {from: [10, 8], to: [14, 8], height: 6, made-of: upholstered-baffle}
  low: {from: [18, 8], to: [22, 8], height: 4, made-of: upholstered-baffle}
mics:
  talkback: {for: room, at: [3, 3, 6], aim: 45}
`;

/** In metres over a studio in feet: numbers go by the units of their own file. */
const OVER = `studio: studio.yaml
title: A session in it
units: m
rooms: {store: ~, booth: {walls: foam-50}}
partitions: {wall: {doors: [{at: [9.144, 1], width: 0.8, height: 2, leaf: hollow-core, state: open}]}}
baffles: {low: {height: 1.5}}
players:
  max: {at: [3, 3], facing: 90, plays: drum-kit, dynamic: mf, parts: {tom-2: ~}}
  ada: {at: [10, 1], facing: 270, standing: true, plays: singing-voice, level: 80 dBA at 1 m}
mics:
  voice: {for: ada, near: {distance: 20 cm}, pattern: figure-8, null-at: max, aim-loss: 10 dB}
  over: {for: max, at: [3.4, 3, 1.8], aim: max, stereo: {spaced: 90 cm}}
`;

const WHOLE = `title: A session in it
air: {temperature: 22}
rooms:
  live: {size: [30 ft, 20 ft], height: 10 ft, floor: parquet, ceiling: acoustic-tile, walls: plaster}
  booth: {size: [8 ft, 6 ft], origin: [30 ft, 0], height: 8 ft, floor: carpet-heavy, walls: foam-50}
partitions:
  wall:
    between: [live, booth]
    wall: stud-gypsum-insulated
    doors: [{at: [9.144, 1], width: 0.8, height: 2, leaf: hollow-core, state: open}]
baffles:
  tall: {from: [10 ft, 8 ft], to: [14 ft, 8 ft], height: 6 ft, made-of: upholstered-baffle}
  low: {from: [18 ft, 8 ft], to: [22 ft, 8 ft], height: 1.5, made-of: upholstered-baffle}
players:
  max: {at: [3, 3], facing: 90, plays: drum-kit, dynamic: mf, parts: {tom-2: ~}}
  ada: {at: [10, 1], facing: 270, standing: true, plays: singing-voice, level: 80 dBA at 1 m}
mics:
  talkback: {for: room, at: [3 ft, 3 ft, 6 ft], aim: 45}
  voice: {for: ada, near: {distance: 20 cm}, pattern: figure-8, null-at: max, aim-loss: 10 dB}
  over: {for: max, at: [3.4, 3, 1.8], aim: max, stereo: {spaced: 90 cm}}
`;

test('the scenes are equal in depth, and so is what was assumed', async () => {
  const laid = await resolved(OVER, { 'studio.yaml': STUDIO });
  const whole = await resolved(WHOLE);
  expect(laid.findings).toEqual(whole.findings);
  expect(laid.scene).not.toBeNull();
  expect(laid.scene).toEqual(whole.scene);
  expect(laid.assumptions).toEqual(whole.assumptions);
});

test('what the studio has and the session does not name is there, what it strikes out is not', async () => {
  const scene = await sceneOf(OVER, { 'studio.yaml': STUDIO });
  expect(scene.rooms.map(({ name }) => name)).toEqual(['live', 'booth']);
  expect(scene.panels.map(({ name, high }) => `${name} ${high.toFixed(4)}`)).toEqual([
    'tall 1.8288',
    'low 1.5000',
  ]);
  expect(scene.rooms[0]?.volume).toBeCloseTo(30 * 20 * 10 * 0.3048 ** 3, 9);
  expect(scene.sources.map(({ name }) => name)).not.toContain('max.tom-2');
});
