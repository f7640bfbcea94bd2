/** Pages and JSON of `why`, on figures written by hand. */
import { readFileSync } from 'node:fs';
import { stripVTControlCharacters } from 'node:util';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { whyJson } from '../../src/format/json.ts';
import { displayWidth } from '../../src/format/table.ts';
import { renderText } from '../../src/format/text.ts';
import type { Why, WhyPair, WhyPath } from '../../src/judge/why.ts';
import { METRES } from '../../src/plan/units.ts';
import { answer, whyView } from '../../src/report/why.ts';
import { EQUATIONS } from '../../src/report/words.ts';
import { GAIN_KINDS } from '../../src/transfer/trace.ts';

const flat = (db: number | null) => Array.from({ length: 8 }, () => db);
const alike = (value: number) => ({ from: value, to: value });

const path = (more: Partial<WhyPath> = {}): WhyPath => ({
  kind: 'direct',
  share: 'direct',
  by: null,
  of: null,
  points: 1,
  fraction: 0.25,
  level: 64,
  byBand: flat(55),
  length: alike(2),
  delay: alike(0.0058),
  sourceOffAxis: alike(30),
  micOffAxis: alike(120),
  gains: [
    { kind: 'strength', byBand: flat(70) },
    { kind: 'spreading', byBand: flat(-6) },
    { kind: 'response', byBand: flat(-9) },
  ],
  baffles: [],
  edges: [],
  ...more,
});

const field = path({
  kind: 'diffuse-field',
  share: 'room',
  fraction: 0.6,
  of: 'hall',
  level: 68,
  length: null,
  delay: null,
  sourceOffAxis: null,
  micOffAxis: null,
  gains: [{ kind: 'power', byBand: flat(80) }],
});
const edge = { side: 'top', detour: 0.2, hidden: true, wave: flat(-20) } as const;
const screened = path({
  baffles: [
    {
      panels: ['screen-1'],
      where: 'whole',
      weight: 1,
      share: new Array(8).fill(1),
      through: flat(-24),
      past: flat(-12),
      whole: flat(-11.7),
      edges: [edge],
    },
  ],
});
const ceiling = path({
  kind: 'surface',
  share: 'reflections',
  by: 'ceiling',
  of: 'hall',
  fraction: 0.15,
  level: 62,
});

const pair = (more: Partial<WhyPair> = {}): WhyPair => ({
  mic: 'voice-mic',
  pattern: 'cardioid',
  source: 'tuba',
  role: 'bleed',
  passage: null,
  level: 70,
  byBand: flat(61),
  judgedLevel: 68,
  judgedBands: [250, 500, 1000, 2000],
  filtered: false,
  distance: 2,
  points: 1,
  shares: { direct: 0.25, reflections: 0.15, room: 0.6, walls: 0 },
  schroeder: 200,
  paths: [field, screened, ceiling],
  ...more,
});

const of = (pairs: readonly WhyPair[], more: Partial<Why> = {}): Why => ({
  title: 'Invented session',
  mic: 'voice-mic',
  source: 'tuba',
  line: false,
  pairs,
  ...more,
});
const plain = { width: 80, colour: false, all: false, lengths: METRES };
const page = (why: Why, options = {}) =>
  renderText(whyView(why, { ...plain, ...options }), { ...plain, ...options });

const opening = path({
  kind: 'opening',
  share: 'walls',
  by: 'door',
  of: 'hall-store',
  fraction: 0.005,
  edges: [{ ...edge, hidden: false }],
});
const kit = ['drums.kick', 'drums.snare'].map((source, i) =>
  pair({ source, judgedLevel: 70 - 10 * i, paths: [field, opening] }),
);
const silent = pair({
  level: null,
  judgedLevel: null,
  byBand: flat(null),
  distance: null,
  schroeder: null,
  shares: { direct: 0, reflections: 0, room: 0, walls: 0 },
  paths: [],
});
const line = of([], { mic: 'bass-di', line: true });
const section = pair({
  points: 8,
  paths: [path({ points: 8, length: { from: 1.2, to: 12.9 }, sourceOffAxis: { from: 3, to: 120 } })],
});
const every = [of([pair()]), of(kit), of([silent]), line, of([section])];

describe('the answer comes first', () => {
  test('each share that matters, the largest first, with what helps and what is to be had', () => {
    // Without 60 %: −10·lg 0.4 = 4.0 dB; without 25 %: −10·lg 0.75 = 1.2 dB.
    expect(answer(pair())).toEqual([
      "Room 60%: baffles won't help; closer mic, softer playing, absorption or another room. Without it: 4.0 dB lower.",
      'Direct 25%: already around screen-1; re-aim, use the null, use a higher or wider baffle. Without it: 1.2 dB lower.',
    ]);
    const lines = page(of([pair()])).split('\n');
    expect(lines.slice(0, 4)).toEqual([
      'Invented session',
      '',
      'tuba at voice-mic',
      "Room 60%: baffles won't help; closer mic, softer playing, absorption or another",
    ]);
  });

  test('reflections by the surface that throws back most', () => {
    const shares = { direct: 0, reflections: 1, room: 0, walls: 0 };
    expect(answer(pair({ shares, paths: [ceiling] }))).toEqual([
      'Nearly all first reflections: mainly ceiling reflection (15%); absorption there, or move player or mic.',
    ]);
  });

  test('through walls by what lets most through', () => {
    const shares = { direct: 0, reflections: 0, room: 0, walls: 0.9 };
    const through = path({ kind: 'through', share: 'walls', by: 'door', of: 'hall-store', fraction: 0.8 });
    const [door] = answer(pair({ shares, paths: [through] }));
    expect(door).toContain(
      'mainly through the door of hall-store (80%); a better door. Without it: 10.0 dB lower',
    );
    expect(answer(pair({ shares, paths: [opening] }))[0]).toContain('close it');
    expect(answer(pair({ shares, paths: [{ ...through, by: 'wall' }] }))[0]).toContain('a heavier wall');
  });

  test('own sound is no bleed, a mate neither', () => {
    expect(answer(pair({ role: 'signal' })).at(-1)).toBe('voice-mic is for tuba: this is signal, not bleed.');
    expect(answer(pair({ role: 'signal' }))[0]).toBe('Room 60%: a closer mic is drier.');
    expect(answer(pair({ role: 'same-kit' })).at(-1)).toContain('neither signal nor bleed');
  });

  test('silence and lines are said in words', () => {
    expect(page(of([silent]))).toContain('tuba does not reach voice-mic.');
    expect(page(line)).toContain('bass-di is a DI: no bleed');
  });
});

describe('the page', () => {
  test.each([80, 120, 140])('no line is wider than %i columns', (width) => {
    const long = 'マイク-スネア-上'.repeat(4);
    const wide = of([
      pair({
        mic: long,
        source: long,
        pattern: long,
        paths: [path({ kind: 'through', by: long, of: long }), { ...screened, kind: 'baffle', by: long }],
      }),
      ...kit,
    ]);
    for (const why of [...every, wide]) {
      const lines = page(why, { width, all: true }).split('\n');
      expect(lines.filter((one) => displayWidth(one) > width)).toEqual([]);
    }
  });

  test('a row for each way: share, level, length, delay, angles; a field has only the first two', () => {
    const lines = page(of([pair()])).split('\n');
    const row = (start: string) =>
      lines
        .find((one) => one.startsWith(`  ${start}`))
        ?.trim()
        .split(/\s{2,}/);
    expect(row('direct, around baffles ')).toEqual([
      'direct, around baffles',
      '25%',
      '64.0',
      '2.00 m',
      '5.8 ms',
      '30°',
      '120°',
    ]);
    expect(row('room (diffuse field) ')).toEqual(['room (diffuse field)', '60%', '68.0']);
  });

  test('shares after filters, levels before them, are said to be so', () => {
    const shown = page(of([pair({ filtered: true })])).replaceAll(/\s+/g, ' ');
    expect(shown).toContain(
      'in which voice-mic is judged), after its filters; levels: all octaves, before filters',
    );
    expect(page(of([pair()]))).not.toContain('filters');
  });

  test('a section’s points show as a span', () => {
    const shown = page(of([section]));
    expect(shown).toContain('1.20–12.90 m');
    expect(shown.replaceAll(/\s+/g, ' ')).toContain('The section is 8 points, summed as energies.');
  });

  test('gains stand in order by octave, then what arrives, then each screen', () => {
    const shown = page(of([pair({ paths: [screened] })]));
    const lines = shown.slice(shown.indexOf('  direct, around baffles, 25%')).split('\n');
    expect(
      lines.slice(1, 10).map((one) =>
        one
          .trim()
          .split(/\s{2,}/)
          .slice(0, 2)
          .join(' | '),
      ),
    ).toEqual([
      'dB | 63',
      'source on axis | 70.0',
      'spreading, 2.00 m | -6.0',
      'mic pattern, 120° | -9.0',
      'at the mic | 55.0',
      'screen-1: top shadowed, detour 0.20 m',
      'through | -24.0',
      'around | -12.0',
      'total | -11.7',
    ]);
  });

  test('what is below 1 % is counted, and told with --all', () => {
    const paths = [field, opening];
    expect(page(of([pair({ paths })]))).toContain('1 more path below 1%: --all');
    expect(page(of([pair({ paths })]))).not.toContain('opening: top');
    const full = page(of([pair({ paths })]), { all: true });
    expect(full).not.toContain('below 1%');
    expect(full).toContain('opening: top outside, detour 0.20 m');
  });

  test('of a kit each piece has a row, and the loudest is told: 70 dB beside 60 dB is 91 %', () => {
    const shown = page(of(kit, { source: 'drums' }));
    expect(shown).toMatch(/drums\.kick +91% +70\.0 +room 60%/);
    expect(shown).toMatch(/drums\.snare +9% +70\.0/);
    expect(shown).toContain('drums.kick at voice-mic');
    expect(shown).not.toContain('drums.snare at voice-mic');
    expect(page(of(kit), { all: true })).toContain('drums.snare at voice-mic');
  });

  test('octaves below the Schroeder frequency are marked uncertain', () => {
    expect(page(of([pair()])).replaceAll(/\s+/g, ' ')).toContain('±5 dB up to 125 Hz');
    expect(page(of([pair({ schroeder: 40 })]))).not.toContain('±5 dB');
    expect(page(of([pair({ schroeder: null })]))).not.toContain('±5 dB');
  });

  test('only the equations of what was told follow, each with its source', () => {
    const shown = page(of([pair({ paths: [screened] })]));
    const equations = shown.slice(shown.indexOf('Equations')).replaceAll(/\s+/g, ' ');
    expect(equations).toContain('ln(1 + a²/r²)/a²');
    expect(equations).not.toContain('power balance');
    for (const { equation, source } of Object.values(EQUATIONS))
      expect([equation, source].every((text) => text.length > 5)).toBe(true);
  });

  test('colour only adds escapes', () => {
    for (const why of every) {
      const coloured = page(why, { colour: true, all: true });
      expect(stripVTControlCharacters(coloured)).toBe(page(why, { all: true }));
    }
    expect(page(of([pair()]), { colour: true })).toContain('\u001b[');
  });

  test('a name that would steer the terminal prints as an escape, and nothing prints as null or NaN', () => {
    const hostile = 'x\u001b[2J\u202ey\u0007';
    const shown = page(
      of([pair({ mic: hostile, source: hostile, paths: [path({ kind: 'baffle', by: hostile })] })], {
        title: hostile,
      }),
    );
    expect(shown.replaceAll('\n', '')).not.toMatch(/\p{Cc}|\u202e/u);
    for (const why of every)
      expect(page(why, { all: true }).replaceAll('the null', '')).not.toMatch(/null|NaN|undefined|Infinity/);
  });
});

describe('as JSON', () => {
  const schema = JSON.parse(
    readFileSync(new URL('../../shared/schemas/why.schema.json', import.meta.url), 'utf8'),
  );
  const validate = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(schema);

  test('it fits the published schema', () => {
    for (const why of every) {
      validate(JSON.parse(whyJson(why)));
      expect(validate.errors).toBeNull();
    }
  });

  test('the schema refuses a lost key, a strange gain and a key at the top that it does not know', () => {
    const spoilt = (change: (shape: Record<string, never[] & Record<string, unknown>[]>) => void) => {
      const shape = JSON.parse(whyJson(of([pair()])));
      change(shape);
      return validate(shape);
    };
    expect(spoilt((shape) => delete shape.mic)).toBe(false);
    expect(spoilt((shape) => Object.assign(shape, { extra: 1 }))).toBe(false);
    expect(spoilt((shape) => Object.assign(shape.pairs?.[0] ?? {}, { role: 'foe' }))).toBe(false);
    expect(spoilt((shape) => Object.assign(shape.equations?.[0] ?? {}, { gain: 'magic' }))).toBe(false);
  });

  test('the schema knows every gain there is', () => {
    expect(schema.definitions.gain.enum).toEqual(GAIN_KINDS);
  });

  test('milliseconds, metres and degrees as least and most, to a thousandth', () => {
    const [shown] = JSON.parse(whyJson(of([section]))).pairs[0].paths;
    expect(shown).toMatchObject({
      length_m: [1.2, 12.9],
      delay_ms: [5.8, 5.8],
      source_off_axis_deg: [3, 120],
    });
    expect(JSON.parse(whyJson(of([pair()]))).pairs[0].paths[0]).toMatchObject({
      length_m: null,
      delay_ms: null,
    });
  });
});
