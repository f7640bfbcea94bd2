import { readFileSync } from 'node:fs';
import { glob } from 'tinyglobby';
import { describe, expect, test } from 'vitest';
import { NEAREST } from '../../src/acoustics/directivity.ts';
import { FIELD_CORRECTION } from '../../src/acoustics/room-acoustics.ts';
import { GHOST_LIMIT } from '../../src/judge/ghost.ts';
import { HEARS } from '../../src/judge/hearing.ts';
import { READING_SIGMA } from '../../src/line-check/readings.ts';
import { EQUATIONS } from '../../src/report/words.ts';
import { CLOSE, toleranceOf } from '../../src/scene/perturbation.ts';
import { LATER_LIMITS } from '../../src/scene/scene.ts';
import { DIRECTIONS } from '../../src/transfer/image-sources.ts';
import { STATED } from '../published/stated.ts';
import { accuracyTable, roomsTable } from './accuracy.ts';
import { MODEL, pageOf } from './pages.ts';

const page = pageOf(MODEL);

describe('the table of the accuracy', () => {
  test('shows what the tests hold', () => {
    expect(page).toContain(accuracyTable());
    expect(page).toContain(roomsTable());
  });

  test.each(Object.keys(STATED))('has its row %s held by a test', async (name) => {
    const tests = await glob(['tests/published/*.test.ts', 'tests/laws/*.test.ts']);
    const held = tests.some((file) => new RegExp(`STATED\\.${name}\\b`).test(readFileSync(file, 'utf8')));
    expect(held).toBe(true);
  });
});

test('every row of `why` is explained', () => {
  const words = page.replace(/\s+/g, ' ');
  const names = Object.values(EQUATIONS).map(({ name }) => name);
  expect(names.filter((name) => !words.includes(`*${name}*`))).toEqual([]);
});

/** Figures that the page takes over from the program: so that neither changes alone. */
describe('the page says as the program does', () => {
  const { leave, rebalance, tune, replace } = LATER_LIMITS;
  const usual = toleranceOf({});
  const depths = [0, 4].map((band) => `${usual.nullDepth.from[band]} to ${usual.nullDepth.to[band]} dB`);
  test.each([
    `leave ${leave} dB, rebalance ${rebalance} dB, tune ${tune} dB, replace ${replace} dB and a ghost of −${-GHOST_LIMIT} dB`,
    `no more than ${-HEARS} dB under`,
    `${DIRECTIONS} directions`,
    `r is at least ${100 * NEAREST} cm`,
    `${FIELD_CORRECTION} dB for the sides`,
    `A reading is worth ±${READING_SIGMA} dB`,
    `| aim of a mic | ±${usual.aim}° |`,
    `| facing of a player | ±${usual.facing}° |`,
    `±${usual.place} m; a mic within ${CLOSE} m: ±${100 * usual.near} %`,
    `±${usual.level} dB from the plan, ±${usual.guessedLevel} dB from the catalogue`,
    `| null depth | ${depths[1]}; ${depths[0]} under 200 Hz and over 6 kHz |`,
    `R ±${usual.panel} dB`,
    `absorption ±${100 * usual.absorption} %, a measured RT60 ±${100 * usual.reverberation} %`,
    `${usual.draws} runs in which`,
  ])('%s', (words) => {
    expect(page.replace(/\s+/g, ' ')).toContain(words);
  });
});
