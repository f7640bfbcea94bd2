/** A made-up session with something for every kind of fault: two rooms and a door, baffles, a kit, close mics and a pair. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readCatalogue } from '../../src/catalogue/catalogue.ts';
import { type PlanData, readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import type { Scene } from '../../src/scene/scene.ts';

export const SESSION = `spillcheck: 1
title: A made-up six-piece in a made-up studio
rooms:
  hall:
    size: [10, 8]
    height: 3.6
    floor: wood-on-joists
    ceiling: acoustic-tile
    walls: {bottom: curtain-heavy, right: plaster, top: curtain-heavy, left: plaster}
  store: {size: [4, 4], origin: [10, 0], height: 3, floor: carpet-heavy, ceiling: acoustic-tile, walls: plaster}
partitions:
  wall:
    between: [hall, store]
    wall: stud-gypsum-insulated
    doors: [{at: [10, 2], width: 0.9, height: 2.1, leaf: solid-core-sealed, state: closed}]
baffles:
  screen-1: {from: [2, 4.2], to: [4, 4.2], height: 1.8, made-of: upholstered-baffle}
  screen-2: {from: [6.2, 5.6], to: [6.2, 7.4], height: 1.8, made-of: upholstered-baffle}
players:
  singer: {at: [3, 1.5], facing: 0, standing: true, plays: singing-voice}
  trumpet: {at: [3, 6.5], facing: 180, standing: true, plays: trumpet}
  sax: {at: [5, 6.5], facing: 180, standing: true, plays: tenor-saxophone}
  bass: {at: [6, 2], facing: 315, standing: true, plays: double-bass, playing: plucked}
  drums: {at: [8, 6.5], facing: 200, plays: drum-kit, playing: brushes}
sources:
  guitar-amp: {instrument: guitar-amp, at: [12, 2, 0.5], facing: 0, level: 95 dB at 1 m}
mics:
  voice-mic: {for: singer, near: {distance: 20 cm}, pattern: cardioid}
  trumpet-mic: {for: trumpet, near: {distance: 50 cm}, pattern: cardioid}
  sax-mic: {for: sax, near: {distance: 40 cm}, pattern: hypercardioid}
  bass-mic: {for: bass, near: {distance: 40 cm}, pattern: figure-8}
  drum-mic: {for: drums, at: [7.8, 6, 1.8], aim: drums, pattern: omni}
  guitar-mic: {for: guitar-amp, near: {distance: 20 cm}, pattern: cardioid}
  main: {for: all, at: [5, 3.6, 2.4], aim: {bearing: 0, tilt: -10}, stereo: ortf}
`;

const CATALOGUE = fileURLToPath(new URL('../../dist/catalogue.json', import.meta.url));
let shipped: ReturnType<typeof readCatalogue> | null = null;

/** From a script that runs elsewhere, `catalogue` says where the built catalogue is. */
export function resolved(plan: PlanData, catalogue = CATALOGUE): Scene | null {
  shipped ??= readCatalogue(JSON.parse(readFileSync(catalogue, 'utf8')));
  return resolve(plan, shipped).scene;
}

export async function planOf(text: string): Promise<PlanData> {
  const { plan, findings } = await readPlan(text, {
    name: 'plan.yaml',
    load: async () => ({ problem: 'none' }),
  });
  if (!plan) throw new Error(findings.map(({ message }) => message).join('; '));
  return plan;
}

/**
 * A made-up eight-piece in a made-up room that is dry, where sound comes straight: what stands between two players, and whither
 * each faces, is heard over all octaves too.
 */
export const DRY_SESSION = `spillcheck: 1
title: A made-up eight-piece in a made-up dry room
rooms:
  hall: {size: [12, 10], height: 4, reverberation: {63: 0.5, 125: 0.3, 250: 0.2, 500: 0.15, 2000: 0.12}}
  store: {size: [4, 4], origin: [12, 0], height: 3, reverberation: 0.2}
partitions:
  wall:
    between: [hall, store]
    wall: stud-gypsum-insulated
    doors: [{at: [12, 2], width: 0.9, height: 2.1, leaf: solid-core-sealed, state: closed}]
baffles:
  screen-1: {from: [2.6, 7.2], to: [2.6, 9.6], height: 2.2, made-of: upholstered-baffle}
  screen-2: {from: [7.4, 7.2], to: [7.4, 9.6], height: 2.2, made-of: upholstered-baffle}
players:
  trumpet: {at: [1.5, 8.2], facing: 135, standing: true, plays: trumpet}
  second: {at: [3.8, 8.2], facing: 160, standing: true, plays: trumpet}
  trombone: {at: [6.2, 8.2], facing: 190, standing: true, plays: trombone}
  sax: {at: [8.6, 8.2], facing: 215, standing: true, plays: tenor-saxophone}
  clarinet: {at: [9.6, 5.6], facing: 250, plays: clarinet}
  flute: {at: [1.6, 5.2], facing: 100, plays: flute}
  singer: {at: [5.6, 2.2], facing: 0, standing: true, plays: singing-voice}
sources:
  guitar-amp: {instrument: guitar-amp, at: [14, 2, 0.5], facing: 0, level: 95 dB at 1 m}
mics:
  trumpet-mic: {for: trumpet, near: {distance: 50 cm}, pattern: cardioid}
  second-mic: {for: second, near: {distance: 50 cm}, pattern: hypercardioid}
  trombone-mic: {for: trombone, near: {distance: 60 cm}, pattern: cardioid}
  sax-mic: {for: sax, near: {distance: 40 cm}, pattern: figure-8}
  clarinet-mic: {for: clarinet, near: {distance: 40 cm}, pattern: hypercardioid}
  flute-mic: {for: flute, near: {distance: 40 cm}, pattern: omni}
  voice-mic: {for: singer, near: {distance: 30 cm}, pattern: cardioid}
  guitar-mic: {for: guitar-amp, near: {distance: 20 cm}, pattern: cardioid}
  main: {for: all, at: [5.6, 5.2, 2.4], aim: {bearing: 0, tilt: -10}, stereo: ortf}
`;
