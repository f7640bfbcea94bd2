/** Every way of a pair, gain by gain. The plans are invented. */
import { beforeAll, describe, expect, test } from 'vitest';
import type { WhyPair, WhyPath } from '../../src/judge/why.ts';
import { askedFor } from '../../src/judge/why.ts';
import { GAIN_KINDS, type GainKind } from '../../src/transfer/trace.ts';
import { pairEnergy } from '../../src/transfer/transfer.ts';
import { ask, bentRoom, brassHall, type Computed, computed, house, meadow, onePair } from './why-plans.ts';

const KHZ = 4;
const texts = { brassHall, bentRoom, house, meadow };
const plans = {} as Record<keyof typeof texts, Computed>;
beforeAll(async () => {
  for (const name of Object.keys(texts) as (keyof typeof texts)[]) plans[name] = await computed(texts[name]);
});

const energy = (db: number | null | undefined): number =>
  db === null || db === undefined ? 0 : 10 ** (db / 10);
const total = (levels: readonly (number | null)[]): number =>
  10 * Math.log10(levels.reduce((sum: number, db) => sum + energy(db), 0));

function everyPair(plan: Computed): WhyPair[] {
  return plan.scene.mics
    .filter((mic) => !mic.line)
    .flatMap((mic) => plan.scene.sources.flatMap((source) => ask(plan, mic.name, source.name).pairs));
}

function pathOf({ paths }: WhyPair, kind: WhyPath['kind'], by: string | null = null): WhyPath {
  const found = paths.find((path) => path.kind === kind && (by === null || path.by === by));
  if (!found) throw new Error(`no ${kind} ${by ?? ''} among ${paths.map((p) => `${p.kind} ${p.by}`).join()}`);
  return found;
}

const gainAt = (path: WhyPath, kind: GainKind, band = KHZ): number | null | undefined =>
  path.gains.find((gain) => gain.kind === kind)?.byBand[band];

describe.each(Object.keys(texts) as (keyof typeof texts)[])('every pair of %s', (name) => {
  const sounding = () => everyPair(plans[name]).filter((pair) => pair.level !== null);

  test('its paths add up to the reported level, whole and by band', () => {
    for (const pair of sounding()) {
      const where = `${pair.source} at ${pair.mic}`;
      expect(Math.abs(total(pair.paths.map(({ level }) => level)) - (pair.level ?? 0)), where).toBeLessThan(
        0.01,
      );
      pair.byBand.forEach((level, band) => {
        const sum = total(pair.paths.map(({ byBand }) => byBand[band] ?? null));
        if (level !== null) expect(Math.abs(sum - level), `${where}, band ${band}`).toBeLessThan(0.01);
        else expect(sum, where).toBe(-Infinity);
      });
    }
  });

  test('the gains of each path add up to what arrives by it', () => {
    for (const pair of sounding()) {
      for (const path of pair.paths) {
        path.byBand.forEach((level, band) => {
          const gains = path.gains.map(({ byBand }) => byBand[band] ?? null);
          // Where a gain is exactly nothing, as a null of a table, there is nothing to add.
          if (level === null || gains.includes(null)) return;
          const sum = gains.reduce((so: number, gain) => so + (gain ?? 0), 0);
          const where = `${pair.source} at ${pair.mic}: ${path.kind} ${path.by}, band ${band}`;
          expect(Math.abs(sum - level), where).toBeLessThan(0.01);
        });
      }
    }
  });

  test('its shares make one', () => {
    for (const pair of sounding().filter(({ judgedLevel }) => judgedLevel !== null)) {
      expect(pair.paths.reduce((sum, { fraction }) => sum + fraction, 0)).toBeCloseTo(1, 6);
      for (const share of ['direct', 'reflections', 'room', 'walls'] as const) {
        const ofKind = pair.paths.filter((path) => path.share === share);
        expect(ofKind.reduce((sum, { fraction }) => sum + fraction, 0)).toBeCloseTo(pair.shares[share], 6);
      }
    }
  });

  test('the delay is the length over the speed of sound: 343.2 m/s at 20 °C', () => {
    for (const { paths } of sounding())
      for (const { length, delay } of paths)
        if (length && delay) expect(delay.to).toBeCloseTo(length.to / 343.2, 9);
  });

  test('telling leaves the computing as it was', () => {
    const { result, scene } = plans[name];
    const size = result.energy.length / (scene.sources.length * scene.capsules.length);
    everyPair(plans[name]);
    scene.sources.forEach((_, source) => {
      scene.capsules.forEach((_, capsule) => {
        const again = new Float64Array(size);
        pairEnergy(again, result.prepared, source, capsule);
        const from = (source * scene.capsules.length + capsule) * size;
        expect(again).toEqual(result.energy.slice(from, from + size));
      });
    });
  });
});

describe('soprano at the solo cornet’s microphone in the brass hall, direct, 1 kHz, by hand', () => {
  // Mouth: 0.1 m ahead of (5.4, 2), 1.5 m up, facing up the page, 5° down: (5.4, 2.1, 1.5).
  // Cornet's bell: 0.45 m ahead of (5, 6) facing down the page, 1.45 m up: (5, 5.55, 1.45), its axis 10° down.
  // Microphone 0.5 m out on that axis: y = 5.55 − 0.5·cos 10° = 5.05760, z = 1.45 − 0.5·sin 10° = 1.36318; it looks back.
  // From mouth to mic (−0.4, 2.95760, −0.13682): r = √(0.16 + 8.74740 + 0.01872) = 2.98766 m.
  const direct = () => pathOf(onePair(plans.brassHall, 'solo-mic', 'soprano'), 'direct');

  test('length 2.988 m, 8.7 ms', () => {
    expect(direct().length?.from).toBeCloseTo(2.98766, 4);
    expect(direct().length?.to).toBeCloseTo(2.98766, 4);
    // 2.98766/343.2 = 0.0087053 s
    expect(direct().delay?.to).toBeCloseTo(0.0087053, 6);
  });

  test('8.0° off the singer’s axis, 165.2° off the microphone’s aim', () => {
    // cos = (2.95760·cos 5° + 0.13682·sin 5°)/2.98766 = (2.946345 + 0.011925)/2.98766 = 0.990163
    expect(direct().sourceOffAxis?.to).toBeCloseTo(8.04, 1);
    // cos = −(2.95760·cos 10° − 0.13682·sin 10°)/2.98766 = −(2.912667 − 0.023759)/2.98766 = −0.966947
    expect(direct().micOffAxis?.to).toBeCloseTo(165.23, 1);
  });

  test.each<[GainKind, number, number]>([
    // 84 dBA at 1 m over [~, −23.9, −10.3, −4.5, −4.1, −8.6, −15.3, −26.9]; A-weights −16.1, −8.6, −3.2, 0, 1.2, 1.0, −1.1
    // (IEC 61672-1): 10·lg(10^−4 + 10^−1.89 + 10^−0.77 + 10^−0.41 + 10^−0.74 + 10^−1.43 + 10^−2.8) = −1.010 dB.
    // 84 − 4.1 + 1.010 = 80.910; air over 1 m 0.005 back (ISO 9613-1: 4.66 dB/km), E(1) of a 2 cm disc −0.001: 80.916.
    ['strength', 80.916, 0.01],
    // −20·lg 2.98766
    ['spreading', -9.507, 0.001],
    // The singer's table: 0 at 0°, −0.7 dB at 30°; −0.7·8.04/30 = −0.188, linear in dB.
    ['directivity', -0.188, 0.02],
    // −4.66·2.98766/1000
    ['air', -0.0139, 0.0002],
    // A + B·cos = 0.25 − 0.75·0.966947 = −0.475210, squared 0.225825; k = 2π·1000/343.2 = 18.3076 1/m;
    // near the source (0.725210/(18.3076·2.98773))² = 0.000176; ε² = 10^−2.5 = 0.003162:
    // D² = 0.003162 + 0.996838·0.226001 = 0.228449
    ['response', -6.412, 0.002],
  ])('%s %d dB', (kind, db, within) => {
    expect(Math.abs((gainAt(direct(), kind) ?? 0) - db)).toBeLessThan(within);
  });

  test('64.80 dB arrive, and there is nothing else on this way', () => {
    // 80.916 − 9.507 − 0.188 − 0.014 − 6.412 = 64.795
    expect(Math.abs((direct().byBand[KHZ] ?? 0) - 64.795)).toBeLessThan(0.03);
    expect(direct().gains.map(({ kind }) => kind)).toEqual([
      'strength',
      'spreading',
      'directivity',
      'air',
      'response',
    ]);
  });

  test('its seven ways: straight, off six surfaces by the plan’s names, and the field', () => {
    const { paths } = onePair(plans.brassHall, 'solo-mic', 'soprano');
    expect(paths.map(({ kind, by }) => by ?? kind).sort()).toEqual(
      [
        'direct',
        'diffuse-field',
        'floor',
        'ceiling',
        'bottom wall',
        'right wall',
        'top wall',
        'left wall',
      ].sort(),
    );
  });

  test('off the floor: the image at z = −1.5 is 4.136 m away, and the floor takes 7 %', () => {
    // √(0.16 + 8.74740 + (1.5 + 1.36318)²) = √(8.90740 + 8.19780) = 4.13585
    const floor = pathOf(onePair(plans.brassHall, 'solo-mic', 'soprano'), 'surface', 'floor');
    expect(floor.length?.to).toBeCloseTo(4.13585, 3);
    // Catalogue: wood on joists absorbs 0.07 at 1 kHz; 10·lg 0.93 = −0.315
    expect(gainAt(floor, 'surface')).toBeCloseTo(-0.315, 3);
  });
});

describe('what is met on the way', () => {
  test('every kind of way and every gain occurs in these plans', () => {
    const paths = Object.values(plans).flatMap((plan) => everyPair(plan).flatMap((pair) => pair.paths));
    expect(new Set(paths.map(({ kind }) => kind))).toEqual(
      new Set(['direct', 'corner', 'surface', 'baffle', 'diffuse-field', 'through', 'opening']),
    );
    expect(new Set(paths.flatMap(({ gains }) => gains.map(({ kind }) => kind)))).toEqual(new Set(GAIN_KINDS));
  });

  test('a screen: its edges as one looks from the source, the way round each, and all hidden', () => {
    // Bell (2, 0.45, 1.05), microphone (2, 2, 1.2), screen along y = 1 from x = 1 to 3, 1.5 m high: d = √(1.55² + 0.15²) = 1.55724.
    // Left: √(1 + 0.55²) + √(1 + 1) = 2.55548 in plan, 2.55988 with 0.15 of rise: 1.0026 longer; right the same.
    // Top: √(0.55² + 0.45²) + √(1 + 0.3²) = 0.71063 + 1.04403 = 1.75467: 0.1974 longer.
    const direct = pathOf(onePair(plans.meadow, 'far', 'cornet'), 'direct');
    expect(direct.baffles.map(({ panels, where }) => ({ panels, where }))).toEqual([
      { panels: ['screen'], where: 'whole' },
    ]);
    const [baffle] = direct.baffles;
    expect(baffle?.edges.map(({ side, hidden }) => `${side} ${hidden}`)).toEqual([
      'left true',
      'right true',
      'top true',
    ]);
    expect(baffle?.edges.map(({ detour }) => detour.toFixed(4))).toEqual(['1.0026', '1.0026', '0.1974']);
    // Catalogue, upholstered screen: R 24 dB at 1 kHz.
    expect(baffle?.through[KHZ]).toBeCloseTo(-24, 6);
  });

  test('left is on the left of whoever looks from the source to the microphone', () => {
    const edges = (mic: string, source: string) =>
      new Map(
        pathOf(onePair(plans.meadow, mic, source), 'direct').baffles[0]?.edges.map((edge) => [
          edge.side,
          edge,
        ]),
      );
    // From (2, 0.45) up the page to (1.4, 2) the line passes the screen 0.8 m from its end on the left, 1.2 m from that on the right.
    const up = edges('far-left', 'cornet');
    expect(up.get('left')?.detour).toBeLessThan(up.get('right')?.detour ?? 0);
    // From the tuba at the right of the page down to (2.6, 0) it passes beyond the end at x = 3, which lies on the right.
    const down = edges('near-right', 'tuba');
    expect(down.get('left')?.hidden).toBe(false);
    expect(down.get('right')?.hidden).toBe(true);
  });

  test('round the corner of an L: as long as over the corner, but spread as straight', () => {
    // Mouth (7.9, 2, 1.5), corner (4, 4), microphone (2, 6, 1.5): √(3.9² + 2²) + √8 = 4.38292 + 2.82843 = 7.21135 m.
    const bent = pathOf(onePair(plans.bentRoom, 'corner-mic', 'singer'), 'corner');
    expect(bent.length?.to).toBeCloseTo(7.21135, 4);
    // Straight √(5.9² + 4²) = 7.12811 m: −20·lg 7.12811 = −17.059
    expect(gainAt(bent, 'spreading')).toBeCloseTo(-17.059, 2);
    // It arrives from the corner: an omnidirectional microphone minds not where from.
    expect(gainAt(bent, 'response')).toBeCloseTo(0, 6);
    expect(gainAt(bent, 'corners')).toBeLessThan(-6);
  });

  test('a cover: off everything of its source but the direct way to the microphone inside', () => {
    // Catalogue, closed lid: 3.5 dB at 1 kHz
    const inside = onePair(plans.house, 'piano-mic', 'piano');
    expect(gainAt(pathOf(inside, 'direct'), 'cover')).toBeUndefined();
    expect(gainAt(pathOf(inside, 'diffuse-field'), 'cover')).toBeCloseTo(-3.5, 6);
    const outside = onePair(plans.house, 'ambience', 'piano');
    for (const path of outside.paths.filter(({ byBand }) => byBand[KHZ] !== null))
      expect(gainAt(path, 'cover')).toBeCloseTo(-3.5, 6);
  });

  test('through a wall: its name, and its R', () => {
    // Catalogue, insulated stud wall: R 44 dB at 1 kHz
    // From the cello at (10, 2) to (4, 3) the line passes x = 8 above y = 2; the door ends at y = 1.95.
    const through = pathOf(onePair(plans.house, 'ambience', 'cellist'), 'through');
    expect(through).toMatchObject({ by: 'wall', of: 'party', share: 'walls' });
    expect(gainAt(through, 'wall')).toBeCloseTo(-44, 6);
  });

  test('a field from next door has lost nothing at a first surface here', () => {
    const field = pathOf(onePair(plans.house, 'cello-mic', 'drums.snare'), 'diffuse-field');
    expect(field.share).toBe('walls');
    expect(field.gains.map(({ kind }) => kind)).toEqual(['power', 'field', 'interior', 'random']);
  });

  test('a section is one row for each way, with the span of its points', () => {
    const pair = onePair(plans.house, 'choir-mic', 'choir');
    expect(pair.points).toBe(8);
    const direct = pathOf(pair, 'direct');
    // Two rows of four, 3 m by 1 m, about (3, 7.5), 1.1 m up: columns at ±0.375 and ±1.125 m, rows at ±0.25 m. From (3, 6.4, 1.9)
    // the nearest is √(0.375² + 0.85² + 0.8²) = 1.22602 m away, the furthest √(1.125² + 1.35² + 0.8²) = 1.93084 m.
    expect(direct.points).toBe(8);
    expect(direct.length?.from).toBeCloseTo(1.22602, 4);
    expect(direct.length?.to).toBeCloseTo(1.93084, 4);
    // Spreading of all together lies between that of the nearest and the furthest: −1.77 and −5.72 dB.
    expect(gainAt(direct, 'spreading')).toBeGreaterThan(-5.72);
    expect(gainAt(direct, 'spreading')).toBeLessThan(-1.77);
    expect(pair.paths.filter(({ kind }) => kind === 'direct')).toHaveLength(1);
  });
});

describe('names', () => {
  const asked = (mic: string, source: string) => askedFor(plans.house.scene, mic, source);

  test('a pair is both its capsules, a capsule one', () => {
    expect(ask(plans.house, 'overheads', 'piano').pairs.map(({ mic }) => mic)).toEqual([
      'overheads.left',
      'overheads.right',
    ]);
    expect(ask(plans.house, 'overheads.left', 'piano').pairs).toHaveLength(1);
  });

  test('a kit is its pieces, the loudest first; a player all he plays', () => {
    const { pairs } = ask(plans.house, 'ambience', 'drums');
    expect(pairs.length).toBeGreaterThan(3);
    expect(pairs.every(({ source }) => source.startsWith('drums.'))).toBe(true);
    const levels = pairs.map(({ judgedLevel }) => judgedLevel ?? -Infinity);
    expect(levels).toEqual([...levels].sort((a, b) => b - a));
    expect(new Set(ask(plans.house, 'ambience', 'singer').pairs.map(({ source }) => source))).toEqual(
      new Set(['voice', 'guitar']),
    );
  });

  test('a line carries no bleed', () => {
    expect(ask(plans.house, 'guitar-di', 'drums')).toMatchObject({ line: true, pairs: [] });
  });

  test('signal, same kit and bleed are told apart', () => {
    expect(onePair(plans.house, 'piano-mic', 'piano').role).toBe('signal');
    expect(onePair(plans.house, 'piano-mic', 'drums.snare').role).toBe('bleed');
    expect(onePair(plans.house, 'kit-mic', 'drums.kick').role).toBe('same-kit');
  });

  test.each([
    ['vioce-mic', 'drums', '--mic: no mic named "vioce-mic"', 'did you mean "voice-mic"?'],
    [
      'voice-mic',
      'drums.snair',
      '--source: no source, kit or part named "drums.snair"',
      'did you mean "drums.snare"?',
    ],
  ])('%s and %s: the nearest right name', (mic, source, message, fix) => {
    expect(asked(mic, source)).toMatchObject({ code: 'UNKNOWN_NAME', severity: 'error', message, fix });
  });

  test('far from any name, all of them', () => {
    expect(asked('zzzzzzzzzz', 'drums')).toMatchObject({ fix: expect.stringContaining('use one of ') });
  });
});
