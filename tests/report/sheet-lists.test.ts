/** What stands on a load-in sheet, on invented plans with round figures. */
import { beforeAll, describe, expect, test } from 'vitest';
import type { Sheet } from '../../src/report/sheet.ts';
import { rowOf, sheetOf } from './sheet-of.ts';

const PLAN = `
title: Three players who do not exist
rooms:
  hall: {size: [8, 6], height: 3, reverberation: 0.5}
  store: {size: [3, 6], origin: [8, 0], height: 3, reverberation: 0.5}
partitions:
  wall:
    between: [hall, store]
    wall: {reduction: 40}
    doors: [{at: [8, 1], width: 0.9, height: 2, leaf: {reduction: 25}, state: ajar}]
baffles:
  baffle-1: {from: [3, 2], to: [4.5, 2], height: 1.5, gap: 0.1, made-of: upholstered-baffle}
players:
  tuba: {at: [2, 4], facing: cornet, plays: tuba, riser: 0.3}
  cornet: {at: [6, 4], facing: 255, plays: cornet, standing: true, cue: closed}
  grand: {at: [2, 1], facing: 90, plays: grand-piano, cover: duvet}
sources:
  amp: {instrument: bass-amp, at: [10, 1, 0.4], facing: 0, player: tuba}
mics:
  tuba-mic: {for: tuba, at: [2, 4.6, 2.5], aim: {bearing: 180, tilt: -60}, channel: 10, high-pass: 40 Hz}
  cornet-mic: {for: cornet, near: {distance: 60 cm}, channel: 2, pattern: omni, switchable: [omni, cardioid]}
  over: {for: tuba, at: [4, 5, 2], aim: {bearing: 90, tilt: -88}}
  main: {for: all, at: [4, 1.5, 2.6], aim: {bearing: 350, tilt: -10}, stereo: {spaced: 80 cm}, channel: [3, 4]}
  room-mic: {for: room, at: [7, 5, 2], aim: {bearing: 130}, stereo: mid-side}
  amp-line: {for: amp, di: true}
`;

let sheet: Sheet;
beforeAll(async () => {
  sheet = await sheetOf(PLAN);
});

const column = (list: string, head: string): string[] => {
  const { columns = [], rows = [] } = sheet.lists.find(({ key }) => key === list) ?? {};
  const at = columns.findIndex((one) => one.head === head);
  return rows.map((row) => row[at] ?? '');
};

describe('the input list', () => {
  test('goes by channel as numbers, then by the plan', () => {
    expect(column('inputs', 'channel').slice(0, 4)).toEqual(['2', '3', '4', '10']);
    expect(column('inputs', 'input')).toEqual([
      'cornet-mic',
      'main.left',
      'main.right',
      'tuba-mic',
      'over',
      'room-mic, mid',
      'room-mic, side',
      'amp-line',
    ]);
  });

  test('keeps both halves of a pair beside each other, wherever they are plugged in', async () => {
    const apart = await sheetOf(PLAN.replace('channel: [3, 4]', 'channel: [12, 4]'));
    const inputs = apart.lists
      .find(({ key }) => key === 'inputs')
      ?.rows.map(([channel, name]) => `${channel} ${name}`);
    expect(inputs?.slice(0, 4)).toEqual(['2 cornet-mic', '12 main.left', '4 main.right', '10 tuba-mic']);
  });

  test('tells a DI from a mic, a pair its partner, a mid-side pair what is set on it', () => {
    expect(rowOf(sheet, 'inputs', 'amp-line')).toMatchObject({ kind: 'DI', pattern: '', height: '' });
    expect(rowOf(sheet, 'inputs', 'main.left')).toMatchObject({ 'pair with': 'main.right', for: 'all' });
    expect(rowOf(sheet, 'inputs', 'room-mic, mid').pattern).toBe('cardioid');
    expect(rowOf(sheet, 'inputs', 'room-mic, side').pattern).toBe('figure-8');
  });

  test('gives heights above the floor, filters and what is to be set', () => {
    expect(rowOf(sheet, 'inputs', 'tuba-mic')).toMatchObject({
      height: '250 cm',
      filter: 'high-pass 40 Hz, 12 dB/octave',
    });
    expect(rowOf(sheet, 'inputs', 'cornet-mic').remarks).toBe('switchable: set the pattern');
  });
});

describe('positions', () => {
  test('measures players, mics, baffle ends and loudspeakers, each from its own room', () => {
    // tuba: 2 from the left, 6 − 4 from the top; baffle ends: 2 from the bottom, 3 and 8 − 4.5 aside
    expect(rowOf(sheet, 'positions', 'tuba')).toMatchObject({
      tape: '200 cm',
      'tape′': '200 cm',
      room: 'hall',
    });
    const baffles = sheet.lists
      .find(({ key }) => key === 'positions')
      ?.rows.filter(([name]) => name === 'baffle-1');
    expect(baffles?.map((row) => row.slice(1, 6))).toEqual([
      ['baffle end', 'bottom wall', '200 cm', 'left wall', '300 cm'],
      ['baffle end', 'bottom wall', '200 cm', 'right wall', '350 cm'],
    ]);
    // amp: 1 from the bottom, 11 − 10 from the right of the store
    expect(rowOf(sheet, 'positions', 'amp')).toMatchObject({
      what: 'bass-amp',
      room: 'store',
      'set-up': '40 cm high, aimed at the top wall, level',
    });
    expect(
      [rowOf(sheet, 'positions', 'amp').from, rowOf(sheet, 'positions', 'amp')['and from']].sort(),
    ).toEqual(['bottom wall', 'right wall']);
  });

  test('sets a pair that is wider than one bar as two stands', () => {
    // half of 80 cm to each side of x = 4, turned by 10°: 4 ∓ 0.4·cos 10° and 1.5 ∓ 0.4·sin 10°
    expect(rowOf(sheet, 'positions', 'main.left')).toMatchObject({ tape: '143 cm', 'tape′': '361 cm' });
    expect(rowOf(sheet, 'positions', 'main.right')).toMatchObject({ tape: '157 cm', 'tape′': '361 cm' });
    expect(rowOf(sheet, 'positions', 'room-mic').what).toBe('pair');
  });

  test.each([
    ['cornet-mic', 'aimed at cornet, tilted 10° up'], // a cornet points 10° down (catalogue): its axis meets the mic
    ['tuba-mic', 'aimed at the bottom wall, tilted 60° down'],
    ['over', 'aimed straight down'],
    ['main.left', 'aimed at the top wall, 10° left of square, tilted 10° down'],
    ['room-mic', 'aimed at the right wall, 40° right of square, level'],
    ['tuba', 'facing cornet'],
    ['cornet', 'facing the left wall, 15° left of square'],
    ['amp', 'aimed at the top wall, level'],
  ])('says where %s is aimed or facing: %s', (name, words) => {
    expect(rowOf(sheet, 'positions', name)['set-up']).toMatch(new RegExp(`, ${words}$`));
  });

  test('has the riser of whoever stands on one', () => {
    expect(rowOf(sheet, 'positions', 'tuba')['set-up']).toMatch(/^seated on a 30 cm riser, /);
    expect(rowOf(sheet, 'positions', 'cornet')['set-up']).toMatch(/^standing, /);
  });
});

describe('what else is to be set up', () => {
  test('baffles, covers and doors as they were computed', () => {
    expect(rowOf(sheet, 'baffles', 'baffle-1')).toMatchObject({
      length: '150 cm',
      'top at': '150 cm',
      'gap below': '10 cm',
      'made of': 'upholstered-baffle',
    });
    expect(rowOf(sheet, 'covers', 'grand').cover).toBe('duvet');
    expect(sheet.lists.find(({ key }) => key === 'doors')?.rows).toEqual([
      ['hall and store', 'door', 'ajar', '90 cm'],
    ]);
  });

  test('headphones carry what whoever wears them shuts out, himself too', () => {
    expect(rowOf(sheet, 'headphones', 'cornet')).toMatchObject({ headphones: 'closed' });
    expect(rowOf(sheet, 'headphones', 'cornet')['must have']).toMatch(/own part$/);
  });
});

describe('units', () => {
  const ROOM = 'rooms: {hall: {size: [20, 15], height: 10, reverberation: 0.5}}';
  const PLAYER = 'players: {tuba: {at: [4, 3], facing: 0, plays: tuba}}';

  test('of a plan in feet are feet and inches', async () => {
    expect(rowOf(await sheetOf(`units: ft\n${ROOM}\n${PLAYER}`), 'positions', 'tuba')).toMatchObject({
      tape: '3 ft 0 in',
      'tape′': '4 ft 0 in',
    });
  });

  test('are those of the plan itself, not of the studio under it', async () => {
    const studios = { 'hall.yaml': `spillcheck: 1\nunits: ft\n${ROOM}` };
    // 20 by 15 ft are 6.096 by 4.572 m: 457 − 300 = 157 from the top, 610 − 400 = 210 from the right
    expect(rowOf(await sheetOf(`studio: hall.yaml\n${PLAYER}`, studios), 'positions', 'tuba')).toMatchObject({
      tape: '157 cm',
      'tape′': '210 cm',
    });
  });

  test('without a room count from the origin of the plan', async () => {
    const { lists } = await sheetOf('players: {tuba: {at: [-4, 3], facing: 0, plays: tuba}}');
    expect(lists.find(({ key }) => key === 'positions')?.rows[0]).toEqual([
      'tuba',
      'player',
      '[0, 0], left',
      '400 cm',
      '[0, 0], up the page',
      '300 cm',
      '',
      'seated, facing up the page',
    ]);
  });
});
