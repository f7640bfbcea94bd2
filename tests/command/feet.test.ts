import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const TONE = 'facing: 90, spectrum: {1000: 0}, directivity: {Q: 1}, level: 80 dB at 3 ft';
/** Sources 10 ft apart, each 2 ft from its own mic, so that the other's is √(10² + 2²) = 10.198 ft away. */
const PLAN = `spillcheck: 1
title: Two tones in a hall that does not exist
units: ft
rooms: {hall: {size: [30, 20], height: 10, reverberation: 0.65}}
players: {reader: {at: [25, 10], plays: {voice: {spectrum: {1000: 0}, level: 60 dB at 3 ft}}}}
baffles: {screen: {from: [22, 10.4], to: [28, 10.4], height: 10.002, made-of: upholstered-baffle}}
sources:
  one: {at: [5, 10, 4], ${TONE}}
  two: {at: [15, 10, 4], ${TONE}}
  organ: {at: [29, 19], facing: 90, spectrum: {1000: 0}, level: 40 dB at 3 ft}
mics:
  mic-one: {for: one, at: [5, 8, 4], pattern: omni}
  mic-two: {for: two, at: [15, 8, 4], pattern: omni}
limits: {signal-to-bleed: 40 dB}
on-hand: {absorption: [{finish: curtain-heavy, area: 64 ft2}]}
`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  writeFileSync(join(folder, 'feet.yaml'), PLAN);
});
afterAll(() => rmSync(folder, { recursive: true }));

function run(...args: string[]): string {
  const env = { PATH: process.env.PATH ?? '' };
  const { stdout, stderr, status } = spillcheck(args, {
    cwd: folder,
    env,
  });
  if (status !== 0) throw new Error(stderr);
  return stdout;
}

/** As one line, whatever the width. */
const flowing = (text: string): string => text.replaceAll(/\s+/g, ' ');
const METRIC = /\d (?:m|cm|m²|m³)\b/;

describe('the report of a plan in feet', () => {
  test('has distances in feet, short ones in inches', () => {
    const shown = run('report', 'feet.yaml', '--no-fixes', '--show', 'bleed', '--show', 'three-to-one');
    expect(shown).toMatch(/ two +-?[\d.]+ +10\.2 ft /);
    expect(shown).toMatch(/mic-one +mic-two +5\.0:1 +10\.0 ft +24 in /);
  });

  test('has volumes in cubic feet, critical distances in feet', () => {
    // 0.65 s are 0.65/1.3 = 0.5 s for levels. 30 · 20 · 10 = 6000 ft³ = 169.90 m³; S = 2200 ft² = 204.39 m²; ᾱ = 1 − exp(−55.262·169.90/(343.2·204.39·0.5)) = 0.2349,
    // A = 48.00 m², R = 48.00/0.7651 = 62.7 m², 0.141·√62.7 = 1.117 m = 3.66 ft
    writeFileSync(join(folder, 'bare.yaml'), PLAN.replaceAll(/^(?:players|baffles):.*\n/gm, ''));
    expect(run('report', 'bare.yaml', '--no-fixes', '--show', 'rooms')).toMatch(
      / cu ft .*\n +hall +6000 .* 3\.7 ft /,
    );
  });

  test('says assumptions and cautions in them too', () => {
    const shown = flowing(run('report', 'feet.yaml', '--no-fixes', '--all', '--assumptions'));
    expect(shown).toContain('organ 3 ft 3½ in above the floor'); // 1 m = 39.37 in: 78.7 halves, 79
    expect(shown).toContain('screen limited to the ceiling height, 10 ft 0 in');
    expect(shown).toContain('screen is 5 in from reader'); // 0.4 ft = 4.8 in
  });

  test.each([
    ['report', ['report', 'feet.yaml', '--all', '--assumptions', '--octaves']],
    ['suggest', ['suggest', 'feet.yaml', '--all']],
    ['compare', ['compare', 'feet.yaml', 'feet.yaml', '--all']],
  ])('%s says nothing in metres', (_, args) => {
    expect(flowing(run(...args))).not.toMatch(METRIC);
  });

  test('nor does the page, which has the same figures', () => {
    run('report', 'feet.yaml', '--no-fixes', '--html', 'page.html');
    const page = readFileSync(join(folder, 'page.html'), 'utf8');
    expect(page).not.toMatch(METRIC);
    expect(page).toContain('<td class="number">10.2 ft</td>');
    expect(page).toContain('<th scope="col" class="number">cu ft</th>');
    expect(page).toContain('<td class="number">6000</td>');
  });

  test('as JSON stays in metres', () => {
    const { mics, rooms } = JSON.parse(run('report', 'feet.yaml', '--no-fixes', '--json'));
    const level = mics[0].levels.find(({ source }: { source: string }) => source === 'two');
    expect(level.distance_m).toBeCloseTo(3.1084, 2); // 10.198 · 0.3048
    expect(rooms[0].volume_m3).toBeCloseTo(169.901, 1); // 6000 · 0.028316846592
  });
});

test('why has ways in feet with one decimal', () => {
  const shown = run('why', 'feet.yaml', '--mic', 'mic-one', '--source', 'two', '--all');
  expect(shown).toMatch(/ direct +\d+% +[\d.]+ +10\.2 ft /);
  expect(shown).toMatch(/ floor reflection +\d+% +[\d.]+ +13\.0 ft /); // √(10² + 2² + 8²) = 12.96
  expect(shown).toContain('spreading, 10.2 ft');
  expect(flowing(shown.slice(0, shown.indexOf('Equations')))).not.toMatch(METRIC);
});

test('suggest hangs what is on hand in square feet', () => {
  const live = PLAN.replace('reverberation: 0.65', 'floor: 0.05, ceiling: 0.05, walls: 0.05').replace(
    'area: 64 ft2',
    'area: 280 ft2',
  );
  writeFileSync(join(folder, 'live.yaml'), live);
  expect(flowing(run('suggest', 'live.yaml', '--all'))).toMatch(/280 sq ft of curtain-heavy/);
});

test('a fault has points and lengths as the plan would', () => {
  writeFileSync(join(folder, 'broken.yaml'), PLAN.replace('height: 10.002', 'height: 12'));
  const { stderr, status } = spillcheck(['report', 'broken.yaml'], {
    cwd: folder,
  });
  expect(status).toBe(2);
  expect(stderr).toContain('screen is 12 ft 0 in high, hall only 10 ft 0 in');
});

test('a plan without units of its own is told in metres, whatever its studio counts in', () => {
  writeFileSync(join(folder, 'day.yaml'), 'spillcheck: 1\nstudio: feet.yaml\n');
  const shown = run('report', 'day.yaml', '--no-fixes', '--show', 'rooms');
  expect(shown).toMatch(/hall +170 m³/);
});
