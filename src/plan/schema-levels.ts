/** Sound levels as a meter reads them. */
import type { Level, Weighting } from './plan-values.ts';
import { numberAndUnit } from './quantity.ts';
import { by, type Complain, forms, into, type Reader, reader, wrongShape } from './schema-frame.ts';
import { keyed, may, must } from './schema-maps.ts';
import { choice, decibels, quantity } from './schema-values.ts';
import type { Scalar } from './tree.ts';

const LOUDNESS = [0, 160] as const;
const FORMS = '88 dB, 88 dBA or 88 dBA at 1 m';
const WEIGHTING_OF: Readonly<Record<string, Weighting>> = { db: 'Z', dbz: 'Z', dba: 'A', dbc: 'C' };

const distance = quantity('length', [0.01, 100]);

/** Bare numbers are dBA, plain dB is unweighted; `at` is undefined where it is not written. */
type Written = {
  readonly spl: number;
  readonly weighting: Weighting;
  readonly unit: string;
  readonly at?: number;
};

const written: Reader<Written> = reader(
  { takes: 'level', weighting: 'any', distance: true },
  (node, complain) => {
    if (node.kind !== 'scalar' || node.value === null || typeof node.value === 'boolean') {
      return void complain(wrongShape(node, `a level such as ${FORMS}`));
    }
    const [figure = '', far] = node.text.split(/\s+(?:at|@)\s+/);
    const whole = figure.replace(/\(([ACZ])\)$/i, '$1');
    const parts = numberAndUnit(whole);
    const unit = parts?.unit.toLowerCase() ?? '';
    const weighting = unit === '' ? 'A' : WEIGHTING_OF[unit];
    const spl = by(
      decibels(LOUDNESS),
      part(node, parts && weighting ? whole.replace(/\s*dB[ACZ]?$/i, '') : figure),
      complain,
    );
    const at = far === undefined ? undefined : by(distance, part(node, far), complain);
    if (spl === undefined || !weighting || (far !== undefined && at === undefined)) return undefined;
    return at === undefined ? { spl, weighting, unit } : { spl, weighting, unit, at };
  },
);

const part = (node: Scalar, text: string): Scalar => ({ ...node, text, value: text, foreign: null });

const inFull: Reader<Level> = into(
  keyed('a level', {
    spl: must(written, `sound level, ${FORMS.split(' or')[0]}`),
    weighting: may(choice('Z', 'A', 'C'), 'what the meter was set to: Z (none), A or C'),
    at: may(distance, 'distance it was read at, 1 m if unsaid'),
  }),
  ({ spl, weighting, at }, complain) => {
    const twice = (key: string) =>
      void complain({
        code: 'WRONG_SHAPE',
        message: `says twice what \`${key}\` is`,
        mend: `take one of the two out`,
        path: [key],
      });
    if (weighting && spl.unit !== '' && weighting !== spl.weighting) return twice('weighting');
    if (at !== undefined && spl.at !== undefined) return twice('at');
    return withUnsaid(spl.spl, weighting ?? (spl.unit === '' ? undefined : spl.weighting), at ?? spl.at);
  },
);

function withUnsaid(spl: number, weighting: Weighting | undefined, at: number | undefined): Level {
  const unsaid = [
    ...(weighting === undefined ? (['weighting'] as const) : []),
    ...(at === undefined ? (['distance'] as const) : []),
  ];
  return { spl, weighting: weighting ?? 'A', at: at ?? 1, ...(unsaid.length > 0 && { unsaid }) };
}

/** A level on axis at a distance, 1 m if unsaid. */
export const level: Reader<Level> = forms({
  scalar: into(written, ({ spl, weighting, unit, at }) =>
    withUnsaid(spl, unit === '' ? undefined : weighting, at),
  ),
  map: inFull,
});

/** A level where the ear is. */
export const levelAtEar: Reader<Level> = into(
  written,
  ({ spl, weighting, at }, complain) => (at === undefined ? { spl, weighting, at: 0 } : noDistance(complain)),
  { takes: 'level', weighting: 'any', distance: false },
);

/** A-weighted, dB. */
export const dBA: Reader<number> = into(
  written,
  ({ spl, weighting, at }, complain) => {
    if (at !== undefined) return noDistance(complain);
    if (weighting === 'A') return spl;
    return void complain({
      code: 'BAD_QUANTITY',
      message: 'must be A-weighted',
      mend: `write ${spl} dBA, or ${spl} alone`,
    });
  },
  { takes: 'level', weighting: 'A', distance: false },
);

function noDistance(complain: Complain): undefined {
  complain({ code: 'BAD_QUANTITY', message: 'takes no distance', mend: 'write the level alone' });
}
