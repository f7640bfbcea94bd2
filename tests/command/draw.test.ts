import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { expectXml } from '../draw/drawn.ts';
import { spillcheck } from '../spillcheck.ts';

const PLAN = `spillcheck: 1
title: Two brass players who do not exist
units: ft
rooms:
  hall: {size: [22, 16], height: 10, reverberation: {125: 0.8, 500: 0.6, 2000: 0.5}}
players:
  tuba: {at: [5, 7], facing: 90, plays: tuba}
  cornet: {at: [16, 10], facing: 270, plays: cornet}
mics:
  tuba-mic: {for: tuba, near: {distance: 50 cm}}
  cornet-mic: {for: cornet, near: {distance: 30 cm}}
  main: {for: all, at: [10, 13, 7], aim: tuba, stereo: ortf}
  tuba-line: {for: tuba, di: true}
`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  writeFileSync(join(folder, 'plan.yaml'), PLAN);
});
afterAll(() => rmSync(folder, { recursive: true }));

const draw = (args: readonly string[], input = '') =>
  spillcheck(['draw', ...args], {
    cwd: folder,
    input,
    env: { PATH: process.env.PATH ?? '' },
  });

describe('a good plan', () => {
  test('is drawn on standard output, the same from a file and from standard input, in the plan’s feet', async () => {
    const { status, stdout, stderr } = draw(['plan.yaml']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    await expectXml(stdout);
    expect(stdout).toMatch(/>\d+ ft<\/text>/);
    expect(draw(['-'], PLAN).stdout).toBe(stdout);
  });

  test('is written to a file, with nothing on standard output', () => {
    const { status, stdout } = draw(['plan.yaml', '-o', 'plan.svg']);
    expect({ status, stdout }).toEqual({ status: 0, stdout: '' });
    expect(readFileSync(join(folder, 'plan.svg'), 'utf8')).toBe(draw(['plan.yaml']).stdout);
  });

  test('comes on paper, dark, at a band, with what a mic picks up and with levels, each asked for alone', () => {
    const plain = draw(['plan.yaml']).stdout;
    const views = [
      ['--paper', 'a4'],
      ['--paper', 'letter'],
      ['--dark'],
      ['--band', '8k'],
      ['--mic', 'cornet-mic'],
      ['--mic', 'main.left'],
      ['--level', 'tuba'],
    ].map((args) => draw(['plan.yaml', ...args]));
    expect(views.map(({ status }) => status)).toEqual(views.map(() => 0));
    expect(new Set([plain, ...views.map(({ stdout }) => stdout)]).size).toBe(views.length + 1);
    expect(views[0]?.stdout).toContain('width="297mm" height="210mm"');
    expect(views[3]?.stdout).toContain('Mic patterns at 8 kHz');
    expect(views[4]?.stdout).toContain('What cornet-mic picks up');
    // the plan counts in feet; 1.2 m = 47.2 in: 94.5 halves, 94 = 36 + 11 in
    expect(views[6]?.stdout).toContain('Level of tuba 3 ft 11 in above the floor');
  });

  test.each(['1k', '1000', '1 kHz', '1khz', '1000 Hz'])('the band may be written %s', (band) => {
    expect(draw(['plan.yaml', '--band', band]).stdout).toBe(draw(['plan.yaml']).stdout);
  });
});

describe('what is refused ends with exit code 2, a clear line and no answer', () => {
  test.each([
    { args: ['plan.yaml', '--mic', 'cornet-mick'], says: /no mic named "cornet-mick"[\s\S]*"cornet-mic"/ },
    { args: ['plan.yaml', '--mic', 'tuba-line'], says: /tuba-line is a DI/ },
    { args: ['plan.yaml', '--level', 'tubba'], says: /--level: no source[\s\S]*"tuba"/ },
    { args: ['plan.yaml', '--band', '900'], says: /--band: no octave band named "900"/ },
    { args: ['plan.yaml', '--band', 'loud'], says: /--band: no octave band named "loud"/ },
    { args: ['plan.yaml', '--paper', 'a3'], says: /--paper: no paper size named "a3"/ },
    { args: ['plan.yaml', '-o', 'plan.yaml'], says: /would overwrite/ },
    { args: ['none.yaml'], says: /no such file/ },
    { args: [], says: /draw needs a plan/ },
  ])('spillcheck draw $args', ({ args, says }) => {
    const { status, stdout, stderr } = draw(args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
    expect(readFileSync(join(folder, 'plan.yaml'), 'utf8')).toBe(PLAN);
  });

  test('levels of a plan without rooms', () => {
    const { status, stderr } = draw(['-', '--level', 'tuba'], PLAN.replace(/rooms:\n.*\n/, ''));
    expect(status).toBe(2);
    expect(stderr).toMatch(/--level: the plan has no room/);
  });

  test('a plan with a fault: the place is said', () => {
    const { status, stdout, stderr } = draw(['-'], PLAN.replace('plays: tuba', 'plays: tubba'));
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(/standard input:7:\d+ UNKNOWN_NAME/);
  });
});
