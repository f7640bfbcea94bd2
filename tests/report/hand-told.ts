/** A session in which everything is told that a report can tell, by hand and with round figures. */
import type { IsolationRow, PartRow } from '../../src/judge/report.ts';
import type { Answer } from '../../src/report/answer.ts';
import { exposed, judged, session } from './hand-made.ts';

const alone: IsolationRow = {
  signalToBleed: 12,
  passage: null,
  mic: 'voice-mic',
  limit: null,
  margin: null,
  verdict: null,
  remark: null,
};

const need = (whom: string, ratio: number) => ({ whom, passage: null, ratio, isDemanded: false });

export const part = (name: string, more: Partial<PartRow> = {}): PartRow => ({
  name,
  later: 'rebalance',
  mics: ['voice-mic'],
  ghost: -18,
  limit: null,
  margin: null,
  verdict: null,
  remark: null,
  committed: null,
  loudestIn: 'overheads',
  passage: null,
  isolation: alone,
  replaceable: null,
  basis: null,
  ...more,
});

export const told: Answer = {
  ...session,
  criteria: [...session.criteria, judged('ghost', 'voice', -7), judged('isolation', 'tuba', -9)],
  parts: [
    part('voice', { later: 'replace', limit: -25, margin: -7, verdict: 'short', replaceable: false }),
    part('tuba', {
      later: 'tune',
      isolation: { ...alone, signalToBleed: 11, mic: 'tuba-mic', limit: 20, margin: -9, verdict: 'short' },
    }),
    part('drums', {
      ...{ later: 'replace', ghost: null, limit: -25, verdict: 'short', loudestIn: null },
      committed: { because: 'overheads' },
    }),
  ],
  cut: {
    groups: [
      {
        parts: ['voice', 'drums'],
        passages: [],
        mics: ['voice-mic', 'overheads'],
        couplings: [
          { between: ['voice', 'drums'], mic: 'voice-mic', passage: null, level: -12, shared: false },
        ],
        sentence: 'edit voice and drums together',
      },
    ],
    free: ['tuba'],
    everyone: ['main'],
    besides: ['tuba is independent', 'main picks up everyone, so an edit there affects every part'],
    sentence:
      'edit voice and drums together; tuba is independent; main picks up everyone, so an edit there affects every part',
  },
  timing: {
    sampleRate: 48000,
    rows: [
      {
        ...{ part: 'drums', source: 'drums', own: 'overheads.left', other: 'voice-mic', level: -6 },
        ...{
          late: 0.002,
          samples: 96,
          polarityInverted: false,
          otherRests: false,
          ripple: 9.5,
          over: false,
          directLevel: -7,
          rippleWithRoom: 2.5,
          notches: [250, 750],
        },
        align: { mic: 'overheads.left', by: 0.002 },
      },
      {
        ...{ part: 'tuba', source: 'tuba', own: 'tuba-mic', other: 'voice-mic', level: -15 },
        ...{
          late: 0.003,
          samples: 144,
          polarityInverted: false,
          otherRests: false,
          ripple: 3,
          over: false,
          directLevel: -7,
          rippleWithRoom: 2.5,
          notches: [167, 500],
        },
        align: { mic: 'tuba-mic', by: 0.003 },
      },
    ],
    overheads: [
      {
        pair: 'overheads',
        spots: [{ spot: 'snare-mic', source: 'drums.snare', late: 0.0025, samples: 120 }],
        snare: { source: 'drums.snare', nearer: 'overheads.left', apart: 0.1, late: 0.0003 },
      },
    ],
  },
  mainPairs: [
    {
      ...{ name: 'main', purpose: 'all', stereo: 'ortf' },
      parts: [{ part: 'voice', level: 0, directToRoom: -2, passage: null, angle: -12 }],
      sections: [{ section: 'voices', parts: ['voice'], level: 0, directToRoom: -2, passage: null }],
      ...{ directToRoom: -2, passage: null },
      ensemble: { left: -40, right: 30 },
      recordingAngle: { left: 48, right: 48 },
      ...{ fits: true, spare: 8, outside: [] },
      spots: [{ spot: 'voice-mic', source: 'voice', late: 0.01, samples: 480 }],
    },
  ],
  hearing: {
    rows: [
      heard('singer', 'drums', -20, 'cannot hear'),
      heard('singer', 'tuba', -10, 'barely hears'),
      heard('drummer', 'singer', 2, 'hears'),
    ],
    limits: [
      {
        ...{ player: 'singer', listener: false, whom: 'drums', passage: null, level: 60, ratio: -20 },
        ...{ margin: -12, verdict: 'short', needsCue: true, remark: null },
      },
    ],
  },
  sight: { rows: [{ players: ['singer', 'drummer'], sees: false, hiddenBy: ['screen-1'] }], limits: [] },
  cues: [
    {
      player: 'tuba',
      listener: false,
      wearing: 'closed',
      hearsByAir: false,
      mustHave: [need('voice', -30)],
      niceToHave: [need('drums', -12)],
      own: 'shut out',
    },
    {
      player: 'singer',
      listener: false,
      wearing: 'none',
      hearsByAir: true,
      mustHave: [need('drums', -20)],
      niceToHave: [],
      own: null,
    },
  ],
  phones: [
    leak('tuba', -30, true), // from 40 dB under it on
    leak('drummer', -60, false),
  ],
  exposure: [exposed('drummer', 94, 60), exposed('singer', 84, 604)],
  inputs: [
    {
      ...{ mic: 'voice-mic', pad: 'pad', signal: 90, quietest: null, noise: null, overNoise: null },
      peak: { level: 138, source: 'voice', role: 'signal', passage: null, guessed: true },
      ...{ selfNoise: 12, overSelfNoise: 78 },
    },
  ],
  now: {
    title: session.title,
    margins: {
      rows: [
        { kind: 'signal-to-bleed', about: ['voice-mic'], margin: -4 },
        { kind: 'ghost', about: ['voice'], margin: -7 },
      ],
      worst: -7,
      shortfall: 11,
    },
    asked: true,
    wanting: { limits: 2, mics: 4, others: 7 },
    outOfReach: [],
    isAnyInReach: true,
    suggestions: [
      {
        words: ['move voice-mic in, 20 → 10 cm'],
        fixes: [
          {
            kind: 'closer',
            about: ['voice-mic'],
            edits: [{ path: ['mics', 'voice-mic', 'near', 'distance'], value: '10 cm' }],
          },
        ],
        minutes: 2,
        asGood: ['12 cm'],
        worth: { fixed: 0, broken: 0, fixes: [], mics: 3, others: 0, harmless: true },
        wanting: [
          { limits: 2, mics: 4, others: 7 },
          { limits: 2, mics: 1, others: 7 },
        ],
        worst: [-7, -7],
        helps: [
          { mic: 'voice-mic', before: 6, basis: null, after: 9, unweightedBefore: 1, unweightedAfter: 4 },
        ],
        improves: [],
        costs: [],
      },
      {
        words: ['have tuba play mf, not f'],
        fixes: [
          {
            kind: 'softer',
            about: ['tuba'],
            edits: [{ path: ['players', 'tuba', 'dynamic'], value: 'mf' }],
          },
        ],
        minutes: 0.5,
        asGood: [],
        worth: { fixed: 0, broken: 0, fixes: [], mics: 0, others: 2, harmless: true },
        wanting: [
          { limits: 2, mics: 4, others: 7 },
          { limits: 2, mics: 4, others: 5 },
        ],
        worst: [-7, -5],
        helps: [
          { mic: 'overheads', before: 15, basis: null, after: 17, unweightedBefore: 15, unweightedAfter: 17 },
        ],
        improves: [{ kind: 'ghost', about: ['voice'], before: -7, after: -5 }],
        costs: [
          {
            kind: 'signal-to-bleed',
            about: ['tuba-mic'],
            plan: 1,
            before: { figure: 11, passage: null, verdict: 'marginal', words: null, rank: 11, basis: null },
            after: { figure: 8, passage: null, verdict: 'short', words: null, rank: 8, basis: null },
          },
        ],
      },
    ],
    more: 4,
    tried: 60,
    whole: true,
    confidence: null,
  },
  pitfalls: [
    pitfall('ghost', 'voice leaves a ghost'),
    pitfall('not-loudest', 'tuba-mic gets drums louder'),
    pitfall('comb-filtering', 'these two comb'),
    pitfall('comb-filtering', 'those two comb too'),
  ],
  tolerances: {
    ...{ draws: 500, seed: 1 },
    rows: [
      {
        ...{
          kind: 'signal-to-bleed',
          about: ['voice-mic'],
          p10: 2,
          p50: 6,
          p90: 10,
          limit: 10,
          limitIs: 'least',
        },
        ...{ holds: 0.1, causes: [{ cause: 'level', spread: 7 }] },
      },
      {
        ...{ kind: 'three-to-one', about: ['voice-mic', 'tuba-mic'], p10: 1, p50: 2, p90: 3, limit: 0 },
        ...{ limitIs: 'least', holds: 1, causes: [] },
      },
    ],
  },
  passage: 'refrain',
};

function heard(
  player: string,
  whom: string,
  ratio: number,
  hears: Answer['hearing']['rows'][number]['hears'],
) {
  return { player, listener: false, whom, passage: null, level: 80 + ratio, ratio, hears, remark: null };
}

function leak(player: string, db: number, audible: boolean): Answer['phones'][number] {
  return {
    player,
    mic: 'voice-mic',
    level: 40,
    leak: db,
    passage: null,
    audible,
    cueLevel: 85,
    guessed: true,
  };
}

function pitfall(kind: Answer['pitfalls'][number]['kind'], text: string): Answer['pitfalls'][number] {
  return { kind, about: ['voice-mic'], weight: 1, text, fix: 'move it', path: ['mics', 'voice-mic'] };
}
