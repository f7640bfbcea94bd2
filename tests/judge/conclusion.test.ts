/**
 * Eight plans with one planted cause each: the conclusion names it, and so does the first screen. What is expected is what was
 * planted, and for the figures the hand derivation beside it.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const ROOT = new URL('../../', import.meta.url).pathname;

type Told = {
  readonly kind: string;
  readonly about: readonly string[];
  readonly sentence: RegExp;
  readonly costs?: number;
};

const PLANTED: Readonly<Record<string, Told>> = {
  // a supercardioid (A = 0.37) at 120°: 20·lg(1/(0.37 − 0.63/2)) = 25 dB, less what its null's floor leaves
  aim: {
    kind: 'aim',
    about: ['voice-mic', 'singer'],
    sentence: /voice-mic is aimed 120° off singer .*: re-aim it/,
  },
  // 1.5 m against the 30 cm that a vocal mic usually has at most: 20·lg 5 = 14.0 dB
  distance: {
    kind: 'distance',
    about: ['voice-mic', 'singer'],
    sentence: /voice-mic is too far from singer, 1\.50 m/,
    costs: 14,
  },
  level: {
    kind: 'level',
    about: ['trumpeter'],
    sentence: /trumpeter is loud, \d+ dB above mf: softer playing/,
  },
  place: {
    kind: 'place',
    about: ['trumpeter', 'voice-mic'],
    sentence: /trumpeter is only 0\.\d+ m from voice-mic: move them apart/,
  },
  baffle: {
    kind: 'baffle',
    about: ['trumpeter', 'voice-mic'],
    sentence: /no baffle stands between trumpeter and voice-mic/,
  },
  room: { kind: 'room', about: ['studio'], sentence: /the room itself is live \(studio, RT60 \d\.\d s\)/ },
  door: {
    kind: 'door',
    about: ['open door of party'],
    sentence: /Main cause: the open door of party: shut it/,
  },
  headphones: {
    kind: 'headphones',
    about: ['singer', 'voice-mic'],
    sentence: /headphones of singer leak into voice-mic/,
  },
};

const planOf = (name: string) => `${ROOT}fixtures/causes/${name}.yaml`;
const jsonOf = (input: string) =>
  JSON.parse(spillcheck(['report', '-', '--json', '--no-fixes'], { input }).stdout);

describe('the conclusion', () => {
  test.each(Object.entries(PLANTED))(
    'names what was planted: %s',
    (name, { kind, about, sentence, costs }) => {
      const { stdout } = spillcheck(['report', planOf(name), '--no-fixes']);
      expect(stdout.replaceAll('\n', ' ')).toMatch(sentence);
      const { conclusion } = jsonOf(readFileSync(planOf(name), 'utf8'));
      expect(conclusion.main_cause).toMatchObject({ kind, about });
      if (costs !== undefined) expect(conclusion.main_cause.costs_db).toBeCloseTo(costs, 0);
      expect(conclusion.text).toMatch(sentence);
    },
  );

  test('with a cause taken away it is named no more', () => {
    const cured: Readonly<Record<string, readonly [string, string]>> = {
      aim: [', aim: {bearing: 30, tilt: 0}', ''],
      distance: ['distance: 1.5 m', 'distance: 15 cm'],
      level: ['dynamic: ff', 'dynamic: p'],
      place: ['at: [2.4, 2.2]', 'at: [6.5, 5]'],
      door: ['state: open', 'state: closed'],
      headphones: ['wearing: open', 'wearing: closed'],
    };
    for (const [name, [from, to]] of Object.entries(cured)) {
      const text = readFileSync(planOf(name), 'utf8');
      expect(text).toContain(from);
      expect([name, jsonOf(text.replace(from, to)).conclusion.main_cause?.kind]).not.toEqual([name, name]);
    }
  });

  test('says who bleeds most at how many mics, what that is made of, and what baffles gain', () => {
    const { stdout } = spillcheck(['report', `${ROOT}fixtures/folk-barn.yaml`, '--no-fixes']);
    const { conclusion, mics } = jsonOf(readFileSync(`${ROOT}fixtures/folk-barn.yaml`, 'utf8'));
    const short = mics.filter((mic: { verdict: string }) => mic.verdict === 'short');
    expect(conclusion.short_mics).toEqual(short.map((mic: { name: string }) => mic.name));
    // each mic alike: the mean of the shares of its own row
    const mean =
      short.reduce((sum: number, mic: { bleed_shares: { room: number } }) => sum + mic.bleed_shares.room, 0) /
      short.length;
    expect(conclusion.shares.room).toBeCloseTo(mean, 3);
    expect(stdout.replaceAll('\n', ' ')).toContain(
      `${Math.round(100 * mean)}% of the bleed there is room sound: baffles gain`,
    );
  });

  test('counts a kit as a whole, as the table of mics does: four short mics have the drummer, one the bass', () => {
    const file = `${ROOT}fixtures/gospel-choir.yaml`;
    const { stdout } = spillcheck(['report', file, '--no-fixes']);
    const rows = stdout.split('\n').filter((line) => /^ +SHORT/.test(line));
    const worst = rows.map((row) => /(\S+) +\S+ \d+%$/.exec(row)?.[1]);
    expect(worst.filter((name) => name === 'drummer')).toHaveLength(4);
    const { worst_bleed } = jsonOf(readFileSync(file, 'utf8')).conclusion;
    expect(worst_bleed).toEqual({ source: 'drummer', at: 4 });
  });
});
