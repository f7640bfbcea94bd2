/** Who goes where, held to reports on plans that were edited by hand. Players and rooms are invented. */
import { describe, expect, test } from 'vitest';
import { cueList } from '../../src/judge/hearing.ts';
import { judgement } from '../../src/judge/judge.ts';
import { pitfalls } from '../../src/judge/pitfalls.ts';
import type { Session } from '../../src/judge/session.ts';
import { finished } from '../../src/steps.ts';
import { assigning, type Score } from '../../src/suggest/rooms.ts';
import { onBench } from './evaluator.ts';

/**
 * A hall with two booths. With elbow room of 1.3 m a body keeps 0.65 m from walls, so in a booth of 1.4 m square there is the
 * middle alone: [8.7, 0.7] and [8.7, 2.7].
 */
const BOOTHS = (singer: string, violin: string, mandolin: string, more = '') => `spillcheck: 1
rooms:
  hall: {size: [7, 5], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
  booth-a: {size: [1.4, 1.4], origin: [8, 0], height: 2.3, floor: carpet-heavy, ceiling: acoustic-tile, walls: plaster}
  booth-b: {size: [1.4, 1.4], origin: [8, 2], height: 2.3, floor: carpet-heavy, ceiling: plaster, walls: plaster}
players:
  singer: {at: ${singer}, facing: 0, plays: singing-voice, later: replace}
  violin: {at: ${violin}, facing: 0, plays: violin}
  mandolin: {at: ${mandolin}, facing: 0, plays: mandolin}
mics:
  voice-mic: {for: singer, near: {distance: 15 cm}}
  violin-mic: {for: violin, near: {distance: 30 cm}}
  mandolin-mic: {for: mandolin, near: {distance: 20 cm}}
floor: {elbow-room: 1.3}
limits: {signal-to-bleed: 20 dB}
${more}`;
const HALL = ['[1.5, 1.5]', '[3.5, 1.5]', '[5.5, 1.5]'] as const;
const CELLS = ['[8.7, 0.7]', '[8.7, 2.7]'] as const;

const scoreOf = ({ scene, result }: Session): Score => {
  const limits = judgement(scene, result).criteria.filter(({ verdict }) => verdict !== null);
  const short = ({ kind, margin }: (typeof limits)[number]) =>
    kind === 'signal-to-bleed' ? Math.max(0, -(margin ?? 0)) : 0;
  return {
    missed: limits.filter(({ verdict }) => verdict === 'short').length,
    mics: limits.reduce((sum, row) => sum + short(row), 0),
  };
};

const tableOf = async (plan: string) => {
  const table = finished(assigning(await onBench(plan)));
  if (!table) throw new Error('no table');
  return table;
};

describe('two booths for three', () => {
  test('every assignment is tried, and the table says of each what a report on the edited plan says', async () => {
    const table = await tableOf(BOOTHS(...HALL));
    // each of three in one of three places, less all as they are: 3³ − 1; one a booth: 3·2 alone, and 3·2 pairs, are possible
    expect(table).toMatchObject({ possible: 26, every: true, tried: 12 });
    const scores: { who: readonly string[]; score: Score }[] = [];
    for (const first of [0, 1, 2]) {
      for (const [cell, booth] of CELLS.entries()) {
        const alone = HALL.map((at, i) => (i === first ? booth : at)) as [string, string, string];
        const score = scoreOf(await onBench(BOOTHS(...alone)));
        const told = table.single[first]?.cells[cell + 1];
        if (!told || 'why' in told) throw new Error('cannot go');
        expect(told.missed).toBe(score.missed);
        expect(told.mics).toBeCloseTo(score.mics, 6);
        scores.push({ who: [String(first)], score });
        for (const second of [0, 1, 2].filter((one) => one !== first)) {
          const two = alone.map((at, i) => (i === second ? CELLS[1 - cell] : at)) as [string, string, string];
          scores.push({
            who: [String(first), String(second)],
            score: scoreOf(await onBench(BOOTHS(...two))),
          });
        }
      }
    }
    const [best] = scores.sort((a, b) => a.score.missed - b.score.missed || a.score.mics - b.score.mics);
    expect(table.best[0]?.score.missed).toBe(best?.score.missed);
    expect(table.best[0]?.score.mics).toBeCloseTo(best?.score.mics ?? 0, 6);
    expect(table.asIs).toEqual(scoreOf(await onBench(BOOTHS(...HALL))));
  });

  test('of the best it tells S/B, ghosts, whom nobody sees or hears now, and headphones', async () => {
    const { best } = await tableOf(BOOTHS(...HALL));
    const [one] = best;
    const at = (name: string, i: number) => {
      const move = one?.moves.find((each) => each.name === name);
      return move ? (CELLS[move.to === 'booth-a' ? 0 : 1] as string) : (HALL[i] as string);
    };
    const { scene, result } = await onBench(BOOTHS(at('singer', 0), at('violin', 1), at('mandolin', 2)));
    const report = judgement(scene, result);
    for (const { name, after } of one?.mics ?? [])
      expect(after).toBeCloseTo(report.mics.find((mic) => mic.name === name)?.signalToBleed ?? 0, 6);
    expect(one?.ghosts.map(({ part }) => part)).toEqual(['singer']);
    expect(one?.ghosts[0]?.after).toBeCloseTo(report.parts[0]?.ghost ?? 0, 6);
    // walls without windows part all who are not in one room
    const apart = one?.moves.length === 2 ? 3 : 2;
    expect(one?.lost.filter(({ kind }) => kind === 'sees')).toHaveLength(apart);
    const cannot = cueList(scene, report.hearing).filter(
      ({ wearing, mustHave }) => wearing === 'none' && mustHave.length > 0,
    );
    expect(one?.headphones).toEqual(cannot.map(({ player }) => player));
  });
});

test('an occupied room is an exchange: each at the place of the other', async () => {
  // only in the booth can the violin be still enough in the other mics
  const plan = (singer: string, violin: string) =>
    BOOTHS(singer, violin, HALL[2])
      .replace(/ {2}booth-b.*\n/, '')
      .replace('signal-to-bleed: 20 dB', 'signal-to-bleed: 0 dB, ghost: {violin: -30}')
      .replace('later: replace', 'later: tune')
      .replace('plays: violin', 'plays: violin, later: replace');
  const table = await tableOf(plan(CELLS[0], HALL[1]));
  expect(table.single[1]?.cells[1]).toEqual({ why: expect.any(String) });
  const swapped = scoreOf(await onBench(plan(HALL[1], CELLS[0])));
  expect(table.best[0]?.moves.map(({ name, to }) => [name, to])).toEqual([
    ['singer', 'hall'],
    ['violin', 'booth-a'],
  ]);
  expect(table.best[0]?.score.missed).toBe(swapped.missed);
  expect(table.best[0]?.score.mics).toBeCloseTo(swapped.mics, 6);
});

test('who is tuned or fixed stays, and a door must be wide enough', async () => {
  const plan = (door: string) => `spillcheck: 1
rooms:
  hall: {size: [6, 5], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
  store: {size: [4, 5], origin: [6, 0], height: 3, floor: carpet-heavy, ceiling: plaster, walls: plaster}
partitions:
  party:
    between: [hall, store]
    wall: separate-gypsum-insulated
    doors: [{at: [6, 4.4], width: ${door}, height: 2, leaf: solid-core-sealed}]
players:
  pianist: {at: [1.5, 1], facing: 0, plays: grand-piano}
  bassist: {at: [4, 3], facing: 180, plays: double-bass}
  flute: {at: [4.5, 1.2], facing: 0, plays: flute, fixed: true}
mics:
  bass-mic: {for: bassist, near: {distance: 20 cm}}
  flute-mic: {for: flute, near: {distance: 20 cm}}
limits: {signal-to-bleed: 20 dB}
`;
  expect((await tableOf(plan('80 cm'))).single.map(({ name }) => name)).toEqual(['bassist']);
  // a double bass needs 80 cm: nobody can go
  expect(finished(assigning(await onBench(plan('70 cm'))))).toBeNull();
});

test('a mic open where loudspeakers play is warned of', async () => {
  const slips = async (control: string) => {
    const { scene, result, report } = await onBench(`spillcheck: 1
rooms: {office: {size: [4, 3], height: 2.5, floor: carpet-heavy, ceiling: acoustic-tile, walls: curtain-heavy${control}}}
players: {reader: {at: [2, 1], facing: 0, plays: speech}}
mics: {voice-mic: {for: reader, near: {distance: 15 cm}}}
`);
    return pitfalls(scene, result, report).filter(({ kind }) => kind === 'open-in-control');
  };
  expect((await slips(', control: true')).map(({ about }) => about)).toEqual([['voice-mic']]);
  expect(await slips('')).toEqual([]);
});
