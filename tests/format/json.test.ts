import { expect, test } from 'vitest';
import { reportJson as json } from '../../src/format/json.ts';
import { level, mic, plainOptions, session, silent } from '../report/hand-made.ts';
import { told } from '../report/hand-told.ts';
import { shapeOf } from '../schemas/shape.ts';

const validate = shapeOf('report.schema.json');
const faults = (text: string) => (validate(JSON.parse(text)) ? [] : validate.errors);

test('every report fits the published schema', () => {
  expect(faults(json(session, plainOptions))).toEqual([]);
  expect(faults(json(silent, plainOptions))).toEqual([]);
  expect(faults(json(told, plainOptions))).toEqual([]);
  const assumptions = [{ path: ['mics', 0], kind: 'assumed', text: 'x' }] as const;
  const listed = { ...plainOptions, listAssumptions: true };
  expect(faults(json({ ...session, assumptions }, listed))).toEqual([]);
});

test('the schema refuses a lost key, a text for a figure and an unknown verdict', () => {
  const broken = (change: (report: Record<string, never[] & Record<string, unknown>[]>) => void) => {
    const report = JSON.parse(json(session, plainOptions));
    change(report);
    return validate(report);
  };
  expect(broken((r) => delete r.title)).toBe(false);
  expect(broken((r) => Object.assign(r.mics?.[0] ?? {}, { signal_db: '90' }))).toBe(false);
  expect(broken((r) => Object.assign(r.mics?.[0] ?? {}, { verdict: 'good' }))).toBe(false);
  expect(broken((r) => Object.assign(r, { extra: 1 }))).toBe(false);
});

test('the top level holds the stated keys in the stated order', () => {
  expect(Object.keys(JSON.parse(json(session, plainOptions)))).toEqual([
    'spillcheck',
    'command',
    'model',
    'catalogue',
    'title',
    'bands_hz',
    'conclusion',
    'rooms',
    'sources',
    'mics',
    'pairs',
    'di',
    'three_to_one',
    'warnings',
    'passage',
    'parts',
    'edit_groups',
    'muting',
    'timing',
    'main_pairs',
    'hearing',
    'sight',
    'cues',
    'headphone_leaks',
    'exposure',
    'inputs',
    'fixes',
    'tolerance',
    'resting_on_assumed_levels',
    'resting_on_assumed_facings',
    'pitfalls',
    'readings',
    'level_basis',
  ]);
});

test('figures are rounded to a thousandth, and what is not there or not finite is null', () => {
  const levels = [level('voice', 90.12345, { role: 'signal', distance: null, micOffAxis: -0.0001 })];
  const report = {
    ...session,
    mics: [mic('m', { levels, bleed: null, signal: Number.NaN, margin: Number.NEGATIVE_INFINITY })],
  };
  const shown = JSON.parse(json(report, plainOptions)).mics[0];
  expect(shown).toMatchObject({ bleed_db: null, signal_db: null, margin_db: null });
  expect(shown.levels[0]).toMatchObject({ level_db: 90.123, distance_m: null, mic_off_axis_deg: 0 });
});

test('capsules of a pair are microphones of their own, named by the pair', () => {
  const shown = JSON.parse(json(session, plainOptions));
  expect(shown.pairs[0]).toMatchObject({
    name: 'overheads',
    capsules: ['overheads.left', 'overheads.right'],
  });
  expect(shown.mics.filter((m: { pair: string | null }) => m.pair === 'overheads')).toHaveLength(2);
});

test('names come through as they are', () => {
  const name = '"<&>\u001b[2J 🎤';
  const shown = JSON.parse(json({ ...session, mics: [mic(name)] }, plainOptions));
  expect(shown.mics[0].name).toBe(name);
});

test('the warning about hearing comes last', () => {
  const { warnings } = JSON.parse(json(session, plainOptions));
  expect(warnings.map((c: { message: string }) => c.message.split(/[,:]/)[0])).toEqual([
    'main stands in a walkway',
    'Noise exposure',
  ]);
  expect(warnings[0].fix).toBe('move it 40 cm');
});

test('all that is told fits the schema too, in milliseconds, degrees and dB', () => {
  expect(faults(json(told, plainOptions))).toEqual([]);
  const shown = JSON.parse(json(told, plainOptions));
  expect(shown.timing.comb_filtering[0]).toMatchObject({
    delay_ms: 2,
    align: { mic: 'overheads.left', by_ms: 2 },
  });
  expect(shown.main_pairs[0]).toMatchObject({ ensemble_deg: { left: -40, right: 30 } });
  expect(shown.parts[0]).toMatchObject({ ghost_db: -18, ghost_margin_db: -7, loudest_in: 'overheads' });
  expect(shown.parts[2]).toMatchObject({ ghost_db: null, committed_because: 'overheads' });
  expect(shown.exposure[0]).toMatchObject({ minutes_niosh: 60, minutes_osha: null, level_dba: 94 });
  expect(shown.tolerance.rows[1].about).toEqual(['voice-mic', 'tuba-mic']);
  expect(shown.passage).toBe('refrain');
});
