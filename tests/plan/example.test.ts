/** A plan with everything in it: a brass band in a school hall, invented, as the format is explained by it. */
import { expect, test } from 'vitest';
import { readPlan } from '../../src/plan/plan.ts';

const EXAMPLE = `spillcheck: 1
title: Brass band in the school hall
units: m                        # or ft; bare numbers are in it, any value may carry its own: 6 ft, 5 ft 3 in, 5'3", 30 cm
studio: hall.yaml
rooms:
  hall: {size: [9, 7], height: 3.6, floor: wood-on-joists, ceiling: acoustic-tile, walls: {top: plaster, right: curtain-heavy, bottom: plaster, left: window-glass}}
  store: {size: [3, 4], origin: [9, 0], height: 2.6, reverberation: {125: 0.5, 500: 0.4, 2000: 0.3, measured: empty}}
partitions:
  hall-store:
    between: [hall, store]
    wall: stud-gypsum-insulated
    doors: [{at: [9, 2], width: 0.9, height: 2.0, leaf: solid-core-sealed, state: closed}]
baffles:
  screen-1: {from: [3, 2], to: [4.5, 2], height: 1.5, made-of: upholstered-baffle}
players:
  tuba: {at: [2, 4], facing: cornet, plays: tuba, later: leave}
  cornet: {at: [5, 5], facing: 200, plays: cornet, standing: true}
  singer:
    at: [10.5, 2]
    facing: 270
    standing: true
    cue: closed
    plays:
      voice: {instrument: singing-voice, level: 82 dBA at 1 m, later: replace}
      guitar: {instrument: steel-string-guitar}
  drums: {at: [6, 1.5], facing: 0, plays: drum-kit, playing: brushes}
sources:
  bass-amp: {instrument: bass-amp, at: [1, 1, 0.4], facing: 45, level: 92 dBC at 1 m, player: {at: [3, 3], facing: drums}}
mics:
  voice-mic: {for: voice, near: {distance: 20 cm}, pattern: figure-8, null-at: guitar, high-pass: 100 Hz}
  snare-mic: {for: drums.snare, near: {distance: 6 cm, above: 4 cm}, pattern: cardioid}
  overheads: {for: drums, at: [6, 2.2, 2.0], aim: drums, stereo: {spaced: 90 cm}}
  main: {for: all, at: [4, 3, 2.4], aim: cornet, stereo: ortf}
  bass-di: {for: bass-amp, di: true}
limits: {signal-to-bleed: {voice-mic: 20 dB}, three-to-one: true, see-each-other: [[tuba, cornet]], hear: {cornet: [drums]}}
`;
const LATER = `limits: {confidence: 0.9}
on-hand: {baffles: [{made-of: upholstered-baffle, width: 1.5, height: 1.5, count: 2}], absorption: [{finish: curtain-heavy, area: 6, count: 2}]}
`;

const stands = (name: string) => ({ name });
const mic = {
  di: false,
  proximity: true,
  inside: false,
  switchable: [],
  mix: 0,
  channel: [],
  use: true,
  fixed: false,
};
const near = { angle: 0, side: 'right' };
const one = { name: null, fixed: false, parts: new Map() };
const person = { hands: 'right', fixed: false };
const room = {
  floorLevel: 0,
  patches: new Map(),
  contents: new Map(),
  booth: false,
  control: false,
  wallNames: ['bottom', 'right', 'top', 'left'],
};

test('the plan of a brass band is read whole, without a finding', async () => {
  const { plan, findings } = await readPlan(EXAMPLE, {
    name: 'plan.yaml',
    load: async () => ({ text: 'spillcheck: 1\n' }),
  });
  expect(findings).toEqual([]);
  expect(plan).toEqual({
    title: 'Brass band in the school hall',
    units: 'm',
    unitsGiven: true,
    air: {},
    rooms: new Map([
      [
        'hall',
        {
          ...room,
          height: 3.6,
          outline: [
            [0, 0],
            [9, 0],
            [9, 7],
            [0, 7],
          ],
          floor: stands('wood-on-joists'),
          ceiling: stands('acoustic-tile'),
          walls: ['plaster', 'curtain-heavy', 'plaster', 'window-glass'].map(stands),
        },
      ],
      [
        'store',
        {
          ...room,
          height: 2.6,
          outline: [
            [9, 0],
            [12, 0],
            [12, 4],
            [9, 4],
          ],
          walls: [null, null, null, null],
          reverberation: {
            seconds: {
              kind: 'bands',
              points: [
                [125, 0.5],
                [500, 0.4],
                [2000, 0.3],
              ],
            },
            measured: 'empty',
            decay: 'late',
          },
        },
      ],
    ]),
    partitions: new Map([
      [
        'hall-store',
        {
          between: ['hall', 'store'],
          wall: stands('stud-gypsum-insulated'),
          windows: [],
          openings: [],
          doors: [{ at: [9, 2], width: 0.9, height: 2, made: stands('solid-core-sealed'), state: 'closed' }],
        },
      ],
    ]),
    baffles: new Map([
      [
        'screen-1',
        {
          from: [3, 2],
          to: [4.5, 2],
          height: 1.5,
          gap: 0,
          madeOf: stands('upholstered-baffle'),
          fixed: false,
        },
      ],
    ]),
    players: new Map<string, unknown>([
      [
        'tuba',
        {
          ...person,
          at: [2, 4],
          facing: { target: 'cornet' },
          plays: [{ ...one, instrument: 'tuba', later: 'leave' }],
        },
      ],
      [
        'cornet',
        {
          ...person,
          at: [5, 5],
          facing: { bearing: 200 },
          standing: true,
          plays: [{ ...one, instrument: 'cornet' }],
        },
      ],
      [
        'singer',
        {
          ...person,
          at: [10.5, 2],
          facing: { bearing: 270 },
          standing: true,
          cue: { wearing: 'closed' },
          plays: [
            {
              ...one,
              name: 'voice',
              instrument: 'singing-voice',
              level: { spl: 82, weighting: 'A', at: 1 },
              later: 'replace',
            },
            { ...one, name: 'guitar', instrument: 'steel-string-guitar' },
          ],
        },
      ],
      [
        'drums',
        {
          ...person,
          at: [6, 1.5],
          facing: { bearing: 0 },
          plays: [{ ...one, instrument: 'drum-kit', playing: 'brushes' }],
        },
      ],
    ]),
    sources: new Map([
      [
        'bass-amp',
        {
          instrument: 'bass-amp',
          at: { x: 1, y: 1, z: 0.4 },
          facing: { bearing: 45 },
          fixed: false,
          level: { spl: 92, weighting: 'C', at: 1 },
          player: { person: { at: [3, 3], facing: { target: 'drums' }, fixed: false } },
        },
      ],
    ]),
    listeners: new Map(),
    mics: new Map<string, unknown>([
      [
        'voice-mic',
        {
          ...mic,
          for: { kind: 'parts', names: ['voice'] },
          near: { ...near, distance: 0.2 },
          pattern: stands('figure-8'),
          nullAt: 'guitar',
          highPass: { at: 100, slope: 12 },
        },
      ],
      [
        'snare-mic',
        {
          ...mic,
          for: { kind: 'parts', names: ['drums.snare'] },
          near: { ...near, distance: 0.06, above: 0.04 },
          pattern: stands('cardioid'),
        },
      ],
      [
        'overheads',
        {
          ...mic,
          for: { kind: 'parts', names: ['drums'] },
          at: { x: 6, y: 2.2, z: 2 },
          aim: { target: 'drums' },
          stereo: { kind: 'spaced', distance: 0.9 },
        },
      ],
      [
        'main',
        {
          ...mic,
          for: { kind: 'all' },
          at: { x: 4, y: 3, z: 2.4 },
          aim: { target: 'cornet' },
          stereo: { kind: 'ortf' },
        },
      ],
      ['bass-di', { ...mic, for: { kind: 'parts', names: ['bass-amp'] }, di: true }],
    ]),
    passages: new Map(),
    limits: {
      signalToBleed: { mics: new Map([['voice-mic', 20]]) },
      threeToOne: 3,
      weighting: 'own',
      seeEachOther: [['tuba', 'cornet']],
      hear: new Map([['cornet', ['drums']]]),
      balance: [],
    },
    onHand: { baffles: [], absorption: [], mics: [] },
    floor: { noStands: new Map(), walkways: new Map() },
    tolerance: {},
  });
});

test('limits, and what is on hand, are read with the rest', async () => {
  const { plan, findings } = await readPlan(`spillcheck: 1\n${LATER}`, {
    name: 'plan.yaml',
    load: async () => ({ problem: 'none' }),
  });
  expect(findings).toEqual([]);
  expect(plan?.limits.confidence).toBe(0.9);
  expect(plan?.onHand.absorption).toEqual([{ finish: { name: 'curtain-heavy' }, area: 6, count: 2 }]);
});
