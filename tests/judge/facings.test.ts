/** A verdict that hangs on a facing that the plan leaves out is named, and turns when the plan says it. Invented plan, free field. */
import { expect, test } from 'vitest';
import { guessedFacings } from '../../src/judge/facings.ts';
import { openPlan, sessionOf } from '../../src/judge/session.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { catalogue } from '../scene/resolved.ts';

const TONE = 'spectrum: {2000: 0}, level: 80 dB at 1 m';

/**
 * Horn and voice are 80 dB at 1 m. The voice's mic is 1 m from it and √(3² + 1²) = 3.162 m from the horn, at bearing 71.6°: 70 dB
 * on the horn's axis. Q = 4 and 20 dB to the back: b = 0.01, n = 0.99/0.24 − 1 = 3.125, G = b + (1 − b)·((1 + cos θ)/2)^n.
 *   facing 0°, as assumed: cos 71.6° = 0.316, G = 0.277, −5.6 dB: S/B 15.6
 *   facing 90°: cos 18.4° = 0.949, G = 0.923, −0.3 dB: S/B 10.3          facing 180° or 270°: less than at 0°, S/B over 15.6
 */
async function sessionWith(facing: string, limit: number) {
  const text = `spillcheck: 1
sources:
  horn: {at: [0, 0, 1], ${facing}directivity: {Q: 4, front-to-back: 20}, ${TONE}}
  voice: {at: [3, 0, 1], facing: 0, directivity: {Q: 1}, ${TONE}}
mics:
  voice-mic: {for: voice, at: [3, 1, 1], pattern: omni}
limits: {signal-to-bleed: ${limit}}
`;
  const read = await readPlan(text, { name: 'plan.yaml', load: async () => ({ problem: 'none' }) });
  const { open } = openPlan(read, catalogue);
  if (!open) throw new Error('the plan does not stand');
  return sessionOf(open);
}

test('a limit of 12 dB is met as assumed and missed with the horn facing right', async () => {
  const [guess, ...more] = guessedFacings(await sessionWith('', 12));
  expect(more).toEqual([]);
  expect(guess).toMatchObject({ kind: 'signal-to-bleed', about: ['voice-mic'], who: 'horn', facing: 90 });
  expect(guess?.margin).toBeCloseTo(10.35 - 12, 1);
  const [asAssumed, asTurned] = await Promise.all(['', 'facing: 90, '].map((one) => sessionWith(one, 12)));
  expect(asAssumed?.report.mics[0]?.verdict).toBe('clear');
  expect(asTurned?.report.mics[0]?.verdict).toBe('short');
  expect(asTurned?.report.mics[0]?.margin).toBeCloseTo(guess?.margin ?? 0, 6);
});

test('nothing hangs on it where the limit is met or missed either way, or where the plan says it', async () => {
  expect(guessedFacings(await sessionWith('', 9))).toEqual([]);
  expect(guessedFacings(await sessionWith('', 40))).toEqual([]);
  expect(guessedFacings(await sessionWith('facing: 0, ', 12))).toEqual([]);
});
