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
  screen: {from: [3, 2], to: [4.5, 2], height: 1.5, gap: 0.1, made-of: upholstered-screen}
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

  test('tells a line from a mic, a pair its partner, a mid-side pair what is set on it', () => {
    expect(rowOf(sheet, 'inputs', 'amp-line')).toMatchObject({ kind: 'line', pattern: '', height: '' });
    expect(rowOf(sheet, 'inputs', 'main.left')).toMatchObject({ 'pair with': 'main.right', for: 'all' });
    expect(rowOf(sheet, 'inputs', 'room-mic, mid').pattern).toBe('cardioid');
    expect(rowOf(sheet, 'inputs', 'room-mic, side').pattern).toBe('figure-8');
  });

  test('gives heights above the floor, filters and what is to be set', () => {
    expect(rowOf(sheet, 'inputs', 'tuba-mic')).toMatchObject({
      height: '250 cm',
      filter: 'high-pass 40 Hz, 12 dB an octave',
    });
    expect(rowOf(sheet, 'inputs', 'cornet-mic').remarks).toBe('switchable: set the pattern');
  });
});

describe('the tape-out', () => {
  test('measures players, mics, baffle ends and loudspeakers, each from its own room', () => {
    // tuba: 2 from the left, 6 − 4 from the top; screen ends: 2 from the bottom, 3 and 8 − 4.5 aside
    expect(rowOf(sheet, 'tape-out', 'tuba')).toMatchObject({
      tape: '200 cm',
      'tape′': '200 cm',
      room: 'hall',
    });
    const screens = sheet.lists
      .find(({ key }) => key === 'tape-out')
      ?.rows.filter(([name]) => name === 'screen');
    expect(screens?.map((row) => row.slice(1, 6))).toEqual([
      ['baffle end', 'bottom wall', '200 cm', 'left wall', '300 cm'],
      ['baffle end', 'bottom wall', '200 cm', 'right wall', '350 cm'],
    ]);
    // amp: 1 from the bottom, 11 − 10 from the right of the store
    expect(rowOf(sheet, 'tape-out', 'amp')).toMatchObject({
      what: 'bass-amp',
      room: 'store',
      height: '40 cm',
    });
    expect(
      [rowOf(sheet, 'tape-out', 'amp').from, rowOf(sheet, 'tape-out', 'amp')['and from']].sort(),
    ).toEqual(['bottom wall', 'right wall']);
  });

  test('sets a pair that is wider than one bar as two stands', () => {
    // half of 80 cm to each side of x = 4, turned by 10°: 4 ∓ 0.4·cos 10° and 1.5 ∓ 0.4·sin 10°
    expect(rowOf(sheet, 'tape-out', 'main.left')).toMatchObject({ tape: '143 cm', 'tape′': '361 cm' });
    expect(rowOf(sheet, 'tape-out', 'main.right')).toMatchObject({ tape: '157 cm', 'tape′': '361 cm' });
    expect(rowOf(sheet, 'tape-out', 'room-mic').what).toBe('pair');
  });

  test.each([
    ['cornet-mic', 'looks at cornet, tip it 10° up'], // a cornet points 10° down (catalogue): its axis meets the mic
    ['tuba-mic', 'looks to the bottom wall, tip it 60° down'],
    ['over', 'looks straight down'],
    ['main.left', 'looks to the top wall, turned 10° left of square, tip it 10° down'],
    ['room-mic', 'looks to the right wall, turned 40° right of square, level'],
    ['tuba', 'faces cornet'],
    ['cornet', 'faces the left wall, turned 15° left of square'],
    ['amp', 'speaks to the top wall, level'],
  ])('says where %s looks: %s', (name, words) => {
    expect(rowOf(sheet, 'tape-out', name).direction).toBe(words);
  });

  test('has the riser of whoever stands on one', () => {
    expect(rowOf(sheet, 'tape-out', 'tuba').height).toBe('sits, riser 30 cm');
    expect(rowOf(sheet, 'tape-out', 'cornet').height).toBe('stands');
  });
});

describe('what else is to be set up', () => {
  test('baffles, covers and doors as they were computed', () => {
    expect(rowOf(sheet, 'baffles', 'screen')).toMatchObject({
      length: '150 cm',
      'top at': '150 cm',
      'gap below': '10 cm',
      'made of': 'upholstered-screen',
    });
    expect(rowOf(sheet, 'covers', 'grand').cover).toBe('duvet');
    expect(sheet.lists.find(({ key }) => key === 'doors')?.rows).toEqual([
      ['hall and store', 'door', 'ajar', '90 cm'],
    ]);
  });

  test('headphones carry what whoever wears them shuts out, himself too', () => {
    expect(rowOf(sheet, 'headphones', 'cornet')).toMatchObject({ headphones: 'closed' });
    expect(rowOf(sheet, 'headphones', 'cornet')['must carry']).toMatch(/own sound$/);
  });
});

describe('units', () => {
  const ROOM = 'rooms: {hall: {size: [20, 15], height: 10, reverberation: 0.5}}';
  const PLAYER = 'players: {tuba: {at: [4, 3], facing: 0, plays: tuba}}';

  test('of a plan in feet are feet and inches', async () => {
    expect(rowOf(await sheetOf(`units: ft\n${ROOM}\n${PLAYER}`), 'tape-out', 'tuba')).toMatchObject({
      tape: '3 ft 0 in',
      'tape′': '4 ft 0 in',
    });
  });

  test('are those of the plan itself, not of the studio under it', async () => {
    const studios = { 'hall.yaml': `spillcheck: 1\nunits: ft\n${ROOM}` };
    // 20 by 15 ft are 6.096 by 4.572 m: 457 − 300 = 157 from the top, 610 − 400 = 210 from the right
    expect(rowOf(await sheetOf(`studio: hall.yaml\n${PLAYER}`, studios), 'tape-out', 'tuba')).toMatchObject({
      tape: '157 cm',
      'tape′': '210 cm',
    });
  });

  test('without a room count from the zero of the plan', async () => {
    const { lists } = await sheetOf('players: {tuba: {at: [-4, 3], facing: 0, plays: tuba}}');
    expect(lists.find(({ key }) => key === 'tape-out')?.rows[0]).toEqual([
      'tuba',
      'player',
      'zero, to the left',
      '400 cm',
      'zero, up the page',
      '300 cm',
      '',
      'sits',
      'faces up the page',
    ]);
  });
});
