/** Checked plans by hand, every default overridable. Names are invented. */

import type { CheckOptions } from '../../src/format/check.ts';
import type { Check, CheckedPlan, PlacedFinding, PlacedLimit } from '../../src/report/check.ts';

export const limit = (options: Partial<PlacedLimit> = {}): PlacedLimit => ({
  kind: 'signal-to-bleed',
  about: ['voice-mic'],
  path: ['mics', 'voice-mic'],
  reached: 6,
  limit: 10,
  margin: -4,
  passage: null,
  verdict: 'short',
  remark: 'for later: rebalance',
  basis: null,
  place: { file: 'plans/monday.yaml', line: 12, column: 3 },
  ...options,
});

export const fault = (options: Partial<PlacedFinding> = {}): PlacedFinding => ({
  code: 'MISSING_KEY',
  severity: 'error',
  path: ['rooms', 'hall'],
  message: 'rooms.hall.height is missing',
  fix: 'add `height`',
  place: { file: 'plans/tuesday.yaml', line: 4, column: 9 },
  shown:
    'plans/tuesday.yaml:4:9 MISSING_KEY rooms.hall.height is missing\n  hall: {size: [9, 7]}\n        ^\n',
  ...options,
});

export const plan = (options: Partial<CheckedPlan> = {}): CheckedPlan => ({
  name: 'plans/monday.yaml',
  title: 'Monday',
  seconds: 0.25,
  limits: [],
  readings: null,
  former: null,
  faults: [],
  warnings: [],
  ...options,
});

export const met = limit({ about: ['tuba-mic'], reached: 18, margin: 8, verdict: 'clear' });
export const marginal = limit({ about: ['horn-mic'], reached: 11, margin: 1, verdict: 'marginal' });
export const unjudged = limit({
  about: ['spare-mic'],
  reached: null,
  margin: null,
  verdict: null,
  remark: 'its source sounds in no passage: not judged',
});

/** One plan with a limit of every verdict, one broken, one that meets all, one that could not be read. */
export const week: Check = {
  strict: false,
  plans: [
    plan({ limits: [limit(), marginal, met, unjudged] }),
    plan({ name: 'plans/tuesday.yaml', title: '', faults: [fault()] }),
    plan({ name: 'plans/wednesday.yaml', title: 'Wednesday', limits: [met] }),
    plan({
      name: 'none/*.yaml',
      title: '',
      faults: [
        {
          code: 'FILE_UNREADABLE',
          severity: 'error',
          path: [],
          message: 'none/*.yaml matches no files',
          place: { file: 'none/*.yaml', line: null, column: null },
          shown: 'FILE_UNREADABLE none/*.yaml matches no files\n',
        },
      ],
    }),
  ],
};

/** Names as nobody should choose them; the line breaks can stand in titles and names of files alone. */
export const HOSTILE =
  '<a href="x">&amp;\'"]]>\u001b[2J\u202e%0A::error::,:{0}[a](b)\r\nline 2\t\ud83c\udfa4\u0000\ud800 end';

export const hostile: Check = {
  strict: false,
  plans: [
    plan({
      name: HOSTILE,
      title: HOSTILE,
      limits: [
        limit({
          about: [HOSTILE],
          path: ['mics', HOSTILE],
          remark: HOSTILE,
          place: { file: HOSTILE, line: 1, column: 1 },
        }),
        { ...unjudged, about: [HOSTILE], remark: HOSTILE },
      ],
    }),
    plan({
      name: HOSTILE,
      faults: [fault({ message: HOSTILE, fix: HOSTILE, path: [HOSTILE], shown: HOSTILE })],
    }),
  ],
};

export const options: CheckOptions = {
  width: 80,
  colour: false,
  all: false,
  quiet: false,
  version: '1.2.3',
  catalogue: '0123456789ab',
  started: new Date('2024-02-29T23:59:58.765Z'),
};
