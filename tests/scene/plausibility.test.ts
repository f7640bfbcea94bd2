/**
 * What a plan says by a slip of the pen is refused or warned of, and an ordinary plan is not. Which slips: common practice, no
 * source; heights and distances are worked by hand beside each case. Players and places are invented.
 */
import { describe, expect, test } from 'vitest';
import { resolved } from './resolved.ts';

const HALL = 'size: [9, 7], height: 3.6, floor: wood-on-joists, ceiling: acoustic-tile, walls: plaster';

type Plan = Readonly<
  Record<'hall' | 'singer' | 'drummer' | 'voiceMic' | 'overheads' | 'hornMic' | 'more', string>
>;

const ORDINARY: Plan = {
  hall: HALL,
  singer: 'at: [3, 3], facing: drummer, plays: singing-voice',
  drummer: 'at: [6, 5], facing: 0, plays: {drums: {instrument: drum-kit}}',
  voiceMic: 'for: singer, near: {distance: 15 cm}, pattern: cardioid',
  overheads: 'for: drums, at: [6, 5.4, 2], stereo: {xy: 90}, pattern: cardioid',
  hornMic: 'for: horn, near: {distance: 30 cm}, pattern: cardioid',
  more: '',
};

/** Findings, each as its severity, path and message. */
async function findingsOf(slip: Partial<Plan>): Promise<string[]> {
  const { hall, singer, drummer, voiceMic, overheads, hornMic, more } = { ...ORDINARY, ...slip };
  const { findings } = await resolved(`
rooms: {hall: {${hall}}}
players:
  singer: {${singer}}
  drummer: {${drummer}}
  horn: {at: [7, 2], facing: 270, plays: trumpet}
mics:
  voice-mic: {${voiceMic}}
  overheads: {${overheads}}
  horn-mic: {${hornMic}}
${more}`);
  return findings.map(({ severity, path, message }) => `${severity} ${path.join('.')}: ${message}`);
}

test('an ordinary plan is accepted without a word', async () => {
  expect(await findingsOf({})).toEqual([]);
});

type Slip = { readonly what: string; readonly slip: Partial<Plan>; readonly says: RegExp };
const slips = (all: readonly Slip[]) =>
  test.each(all)('$what', async ({ slip, says }) => {
    const found = await findingsOf(slip);
    expect(found).toContainEqual(expect.stringMatching(says));
  });

describe('what cannot be is an error', () => {
  slips([
    {
      what: 'facing a piece that the kit does not have',
      slip: { singer: 'at: [3, 3], facing: drums.cowbell, plays: singing-voice' },
      says: /^error players\.singer\.facing: .*drums\.cowbell/,
    },
    {
      what: 'aiming at a piece that the kit does not have',
      slip: { voiceMic: `${ORDINARY.voiceMic}, aim: drums.cowbell` },
      says: /^error mics\.voice-mic\.aim: .*drums\.cowbell/,
    },
    {
      // seated eyes 1.22 m above the riser of 2.5 m, and 0.12 m of head above them: 3.84 m under a ceiling of 3.6 m
      what: 'a head above the ceiling',
      slip: { singer: `${ORDINARY.singer}, riser: 2.5` },
      says: /^error players\.singer: the head of singer would be 3\.84 m above the floor; the ceiling is at 3\.60 m/,
    },
    {
      what: 'a source above the ceiling',
      slip: { more: 'sources: {amp: {instrument: bass-amp, at: [1, 1, 4], facing: 0}}' },
      says: /^error sources\.amp: amp would be 4\.00 m above the floor/,
    },
    {
      what: 'a mic inside a body',
      slip: { voiceMic: 'for: singer, at: [3, 2.98, 1.2], pattern: cardioid' },
      says: /^error mics\.voice-mic: .*inside the body of singer/,
    },
    {
      // √(0.1² + 0.1²) = 0.141 m
      what: 'one body in another',
      slip: { drummer: 'at: [3.1, 3.1], facing: 0, plays: {drums: {instrument: drum-kit}}' },
      says: /^error players\.drummer\.at: drummer is only 14 cm from singer: their bodies overlap/,
    },
    {
      what: 'a body inside a baffle',
      slip: { more: 'baffles: {b: {from: [2, 3.05], to: [4, 3.05], height: 1, made-of: duvet}}' },
      says: /^error baffles\.b: singer is inside b, 5 cm from it/,
    },
    {
      // one m above the ceiling of 3.6 m
      what: 'a piece of a kit above the ceiling',
      slip: {
        drummer:
          'at: [6, 5], facing: 0, plays: {drums: {instrument: drum-kit, parts: {crash: {at: [6, 5.8, 4.6]}}}}',
      },
      says: /^error .*drums\.crash would be 4\.60 m above the floor; the ceiling is at 3\.60 m/,
    },
    {
      what: 'a source outside every room',
      slip: { more: 'sources: {amp: {instrument: bass-amp, at: [12, 1], facing: 0}}' },
      says: /^error sources\.amp\.at: amp is outside every room/,
    },
    {
      what: 'two mics on one channel',
      slip: { voiceMic: `${ORDINARY.voiceMic}, channel: 1`, hornMic: `${ORDINARY.hornMic}, channel: 1` },
      says: /^error mics\.horn-mic\.channel: channel 1 .*voice-mic/,
    },
    {
      what: 'both halves of a pair on one channel',
      slip: { overheads: `${ORDINARY.overheads}, channel: [3, 3]` },
      says: /^error mics\.overheads\.channel: channel 3 .*overheads/,
    },
    {
      what: 'a high-pass above the low-pass',
      slip: { voiceMic: `${ORDINARY.voiceMic}, high-pass: 4 kHz, low-pass: 200 Hz` },
      says: /^error mics\.voice-mic\.high-pass: .*4000 Hz.*200 Hz/,
    },
    {
      what: "a null pointed at the mic's own source",
      slip: { voiceMic: `${ORDINARY.voiceMic}, null-at: singer` },
      says: /^error mics\.voice-mic\.null-at: .*singer/,
    },
    {
      what: 'crossed figure-8s of cardioids',
      slip: { overheads: 'for: drums, at: [6, 5.4, 2], stereo: crossed-8, pattern: cardioid' },
      says: /^error mics\.overheads\.stereo: .*cardioid/,
    },
    {
      // 40 + 30 m² on 9 × 7 = 63 m²
      what: 'contents that together cover more than the floor',
      slip: { hall: `${HALL}, contents: {seat-upholstered: 40 m2, seat-hard: 30 m2}` },
      says: /^error rooms\.hall\.contents: cover 70 m² of a floor of 63 m²/,
    },
  ]);
});

describe('what is odd is a warning', () => {
  slips([
    {
      // √(0.2² + 0.2²) = 0.283 m: nearer than two pairs of shoulders, further than two chests
      what: 'bodies shoulder in shoulder',
      slip: { drummer: 'at: [3.2, 3.2], facing: 0, plays: {drums: {instrument: drum-kit}}' },
      says: /^warning players\.drummer\.at: drummer is only 28 cm from singer: their bodies overlap/,
    },
    {
      what: 'a baffle at the toes',
      slip: { more: `baffles: {b: {from: [2, 3.12], to: [4, 3.12], height: 1, made-of: duvet}}` },
      says: /^warning baffles\.b: b is 12 cm from singer, too close to sit or stand/,
    },
    {
      // mouth 10 cm ahead of the singer, bearing 56: [3.08, 3.06], from the mic at bearing 169; 79° off the aim, cos² = 0.036, −14 dB
      what: 'a figure-8 aimed past its own source, which is in its null',
      slip: { voiceMic: 'for: singer, at: [3, 3.5, 1.1], pattern: figure-8, aim: {bearing: 90}' },
      says: /^warning mics\.voice-mic: voice-mic has its null at singer, which it is for/,
    },
    {
      what: 'a DI on a horn',
      slip: { hornMic: 'for: horn, di: true' },
      says: /^warning mics\.horn-mic\.di: horn-mic is a DI, but a trumpet has neither line output nor pickup/,
    },
    {
      // a singing voice is strongest at 250 Hz to 2 kHz by its catalogue; a power of one octave is that octave alone
      what: 'a power that leaves out octaves in which the instrument sounds',
      slip: { singer: `${ORDINARY.singer}, power: {1000: 90}` },
      says: /^warning players\.singer: singer is silent at 250, 500 and 2000 Hz, where a singing-voice sounds/,
    },
    {
      what: 'a spectrum that does, alike',
      slip: { singer: `${ORDINARY.singer}, spectrum: {1000: 0}, level: 80 dB` },
      says: /^warning players\.singer: singer is silent at 250, 500 and 2000 Hz, where a singing-voice sounds/,
    },
    {
      what: 'a mic that points away from its source',
      slip: { voiceMic: 'for: singer, at: [3, 3.6, 1.3], pattern: cardioid, aim: {bearing: 20}' },
      says: /^warning mics\.voice-mic: voice-mic points away from singer/,
    },
    {
      what: 'a mic behind a source that radiates forward',
      slip: { voiceMic: 'for: singer, at: [2.7, 2.4, 1.3], pattern: cardioid' },
      says: /^warning mics\.voice-mic: voice-mic is behind singer/,
    },
    {
      what: 'a negative limit of signal to bleed',
      slip: { more: 'limits: {signal-to-bleed: -5 dB}' },
      says: /^warning limits\.signal-to-bleed: -5\.0 dB lets the bleed be louder/,
    },
    {
      what: 'a positive limit of a ghost',
      slip: { more: 'limits: {ghost: {singer: 5 dB}}' },
      says: /^warning limits\.ghost\.singer: 5\.0 dB lets the ghost be louder/,
    },
    {
      what: 'a level that no such instrument plays',
      slip: { singer: `${ORDINARY.singer}, level: 8.8 dB at 1 m` },
      says: /^warning players\.singer.*softer than a singing-voice ever plays/,
    },
    {
      what: 'a ceiling of 8 with no word of units',
      slip: { hall: HALL.replace('3.6', '8') },
      says: /^warning rooms\.hall: hall is 8\.0 m high/,
    },
    {
      // ends at x = 2 and 2.07
      what: 'baffles that nearly touch',
      slip: {
        more: `baffles:
  one: {from: [1, 5], to: [2, 5], height: 1.5, made-of: plywood-baffle}
  two: {from: [2.07, 5], to: [3, 5], height: 1.5, made-of: plywood-baffle}`,
      },
      says: /^warning baffles\.two: two and one are 7 cm apart: sound passes through the gap/,
    },
    {
      // 40 sofas of 1.8 m² are 72 m² on 9 × 7 = 63 m²
      what: 'more furniture than stands on the floor',
      slip: { hall: `${HALL}, contents: {sofa: 40}` },
      says: /^warning rooms\.hall\.contents: contents of hall need 72 m², more than its floor of 63 m²/,
    },
  ]);

  test('a DI takes a pickup, an amplifier, a line alone, and what no catalogue knows', async () => {
    const players = (plays: string) => ({
      hornMic: 'for: bass, di: true',
      more: `sources: {bass: {at: [1, 1, 0.5], facing: 0, ${plays}}}`,
    });
    for (const one of [
      'instrument: bass-amp',
      'instrument: line-only',
      'instrument: double-bass',
      'spectrum: 0, level: 80 dB',
    ])
      expect(await findingsOf(players(one))).toEqual([]);
  });

  test('a room 8 m high with its units written is as meant', async () => {
    expect(await findingsOf({ hall: HALL.replace('3.6', '8'), more: 'units: m' })).toEqual([]);
  });
});
