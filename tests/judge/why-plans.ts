/** Invented plans in which every kind of way occurs, and their answers. */
import { readFileSync } from 'node:fs';
import { judge } from '../../src/judge/judge.ts';
import type { Report } from '../../src/judge/report.ts';
import type { Why, WhyPair } from '../../src/judge/why.ts';
import { askedFor, why } from '../../src/judge/why.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { type Transfer, transfer } from '../../src/transfer/transfer.ts';

export type Computed = { readonly scene: Scene; readonly result: Transfer; readonly report: Report };

export async function computed(text: string): Promise<Computed> {
  const load = async () => ({ problem: 'there is none' });
  const { plan, findings } = await readPlan(text, { name: 'plan.yaml', load });
  const resolved = plan && resolve(plan, shippedCatalogue());
  const scene = resolved?.scene;
  if (!scene) throw new Error(JSON.stringify([...findings, ...(resolved?.findings ?? [])]));
  const result = transfer(scene);
  return { scene, result, report: judge(scene, result) };
}

export function ask({ scene, result, report }: Computed, mic: string, source: string): Why {
  const asked = askedFor(scene, mic, source);
  if ('code' in asked) throw new Error(asked.message);
  return why(scene, result, report, asked);
}

export function onePair(plan: Computed, mic: string, source: string): WhyPair {
  const [pair, ...more] = ask(plan, mic, source).pairs;
  if (!pair || more.length > 0) throw new Error('not one pair');
  return pair;
}

export const brassHall = readFileSync(new URL('../../fixtures/brass-hall.yaml', import.meta.url), 'utf8');

/** An L-shaped room with a gap under a screen, a corner of two screens and a row of them. */
export const bentRoom = `spillcheck: 1
rooms:
  studio: {outline: [[0, 0], [9, 0], [9, 4], [4, 4], [4, 8], [0, 8]], height: 3.2, floor: wood-on-joists, ceiling: acoustic-tile, walls: plaster}
baffles:
  low: {from: [2, 1], to: [2, 3], height: 1.4, gap: 10 cm, made-of: upholstered-baffle}
  wing-a: {from: [5, 0.5], to: [5, 2.5], height: 1.8, made-of: upholstered-baffle}
  wing-b: {from: [5, 2.5], to: [6.2, 3.2], height: 1.8, made-of: upholstered-baffle}
  far: {from: [1, 5.5], to: [3, 5.5], height: 1.6, made-of: upholstered-baffle}
players:
  trombone: {at: [1, 2], facing: 90, plays: trombone}
  singer: {at: [8, 2], facing: 270, standing: true, plays: singing-voice}
  fiddler: {at: [2, 7], facing: 180, plays: violin}
mics:
  trombone-mic: {for: trombone, near: {distance: 50 cm}}
  voice-mic: {for: singer, near: {distance: 20 cm}, pattern: figure-8}
  fiddle-mic: {for: fiddler, near: {distance: 40 cm}, pattern: hypercardioid}
  corner-mic: {for: fiddler, at: [2, 6, 1.5], pattern: omni}
  over: {for: all, at: [3.4, 3.4, 2.2], aim: trombone, stereo: {xy: 90}}
`;

/** Rooms side by side, a booth that stands free, doors in every state, an opening, a cover and a section. */
export const house = `spillcheck: 1
rooms:
  live: {size: [8, 6], height: 3.4, floor: wood-on-joists, ceiling: acoustic-tile, walls: plaster}
  booth: {size: [2, 2], origin: [5.5, 3.5], height: 2.4, booth: true, walls: curtain-heavy}
  side: {size: [4, 6], origin: [8, 0], height: 2.8, reverberation: {125: 0.5, 500: 0.4, 2000: 0.3}}
  back: {size: [8, 3], origin: [0, 6], height: 3, walls: plaster}
partitions:
  shell:
    between: [booth, live]
    wall: stud-gypsum-insulated
    doors: [{at: [5.5, 4.5], width: 0.8, height: 2.0, leaf: solid-core-sealed, state: ajar}]
    windows: [{at: [6.5, 3.5], width: 1, height: 1, sill: 1, glass: glass-6}]
  party:
    between: [live, side]
    wall: stud-gypsum-insulated
    doors: [{at: [8, 1.5], width: 0.9, height: 2.0, leaf: solid-core-sealed, state: closed}]
  rear:
    between: [live, back]
    wall: stud-gypsum-insulated
    openings: [{at: [3, 6], width: 1.6, height: 2.1}]
baffles:
  screen: {from: [3, 2], to: [4.5, 2], height: 1.5, made-of: upholstered-baffle}
players:
  drums: {at: [2, 1], facing: 0, plays: drum-kit}
  singer: {at: [6.5, 4.5], facing: 270, standing: true, plays: {voice: singing-voice, guitar: steel-string-guitar}}
  cellist: {at: [10, 2], facing: 270, plays: cello}
sources:
  piano: {instrument: grand-piano, at: [4, 4], cover: piano-lid-closed}
  choir: {instrument: singing-voice, at: [3, 7.5], facing: 180, section: {players: 8, rows: 2, size: [3, 1]}}
mics:
  piano-mic: {for: piano, at: [4, 4, 1.1], inside: true}
  voice-mic: {for: voice, near: {distance: 15 cm}, high-pass: 200 Hz}
  overheads: {for: drums, at: [2, 1.4, 1.9], aim: drums, stereo: {spaced: 90 cm}}
  cello-mic: {for: cellist, near: {distance: 40 cm}}
  choir-mic: {for: choir, at: [3, 6.4, 1.9], aim: choir}
  kit-mic: {for: drums.snare, near: {distance: 10 cm}}
  ambience: {for: room, at: [4, 3, 2.5], aim: drums, pattern: omni}
  guitar-di: {for: guitar, di: true}
`;

/** No rooms: the open air, with one screen. */
export const meadow = `spillcheck: 1
baffles:
  screen: {from: [1, 1], to: [3, 1], height: 1.5, made-of: upholstered-baffle}
players:
  cornet: {at: [2, 0], facing: 0, plays: cornet}
  tuba: {at: [4, 2], facing: 270, plays: tuba}
mics:
  tuba-mic: {for: tuba, near: {distance: 50 cm}}
  far: {for: cornet, at: [2, 2, 1.2], aim: cornet, pattern: omni}
  far-left: {for: cornet, at: [1.4, 2, 1.2], aim: cornet, pattern: omni}
  near-right: {for: tuba, at: [2.6, 0, 1.2], aim: tuba, pattern: omni}
`;
