/** Schema combinators (map, named, list, forms, quantity, by-band, level): read a node, describe themselves. Own type, no valibot shell (10 uses today, `~run` overridden through `as unknown as`). */
import * as v from 'valibot';
import { offered, oneOf } from '../text.ts';
import { type Fault, isNull, type MapNode, type Node, type Scalar, shown } from './document.ts';
import { LONGEST_NAME } from './names.ts';
import { type Dimension, EXAMPLES, numberAndUnit, readQuantity, readsAsQuantity } from './units.ts';

// Sound levels as a meter reads them.
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

// Single values and lists of them: quantities, choices, names.

export const decibels = (span: Span): Reader<number> => quantity('decibel', span);

const part = (node: Scalar, text: string): Scalar => ({ ...node, text, value: text, foreign: null });

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

// Maps of fixed keys, and maps of names.

const camel = (key: string): string => key.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());

const isWritten = (node: MapNode, key: string): boolean => {
  const entry = node.entries.get(key);
  return entry !== undefined && !isNull(entry.node);
};

const told = <T>(schema: Reader<T>, description: string, example: unknown) =>
  v.pipe(schema, v.description(description), v.metadata({ example }));

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

// How the schema reads what was written: maps, names, lists and forms, with every fault of each, not the first alone.
// The schemas are valibot's in kind, so that descriptions, optional keys and inferred types are its own.

const IN_WORDS: Readonly<Record<About['takes'], string>> = {
  map: 'a map',
  named: 'a map of names',
  list: 'a list',
  forms: 'a value',
  choice: 'a word',
  quantity: 'a number',
  level: 'a level',
  bands: 'a value or a map by band',
  name: 'a name',
  text: 'a text',
  flag: 'true or false',
};

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

// Values by octave band, tables by angle, and what is made of them: finishes and constructions.

/** Nominal octaves, IEC 61260-1. */
const OCTAVES = [63, 125, 250, 500, 1000, 2000, 4000, 8000];

export const share = (span: Span): Reader<number> => quantity('ratio', span);

// Patterns, nulls and stereo pairs.

const a = byBand(share([0, 1]));

/** The name of something; what it stands for is looked up later. */
export const name: Reader<string> = nameAs({});

/** The name of an entry of the catalogue; whether it is there is seen later. `words` mean something of their own. */
export const nameOf = (of: Shelf, ...words: readonly string[]): Reader<string> => nameAs({ of, words });

export const TABLE_KEY = 'angle_deg';

/** The name of a file with one has given way to the table by now: see `readTables`. */
const tableByName = reader<AngleTable>(
  { takes: 'text' },
  (node, complain) =>
    void complain(wrongShape(node, `the name of a file, or a map of ${TABLE_KEY} and a list for each band`)),
);

const anglesUp = into(listOf(quantity('angle', [0, 180]), 2), (angles, complain) => {
  const rises = angles.every((angle, i) => i === 0 || angle > (angles[i - 1] ?? 0));
  if (rises && angles[0] === 0 && angles.at(-1) === 180) return angles;
  const message = 'must rise from 0 to 180 degrees';
  return void complain({
    code: 'BAD_RANGE',
    message,
    mend: 'write angles such as [0, 30, 60, 90, 120, 150, 180]',
  });
});

/** `angle_deg` from 0 to 180 and a column of dB for each band. */
const tableInFull: Reader<AngleTable> = reader(tableAbout(), (node, complain) => {
  if (node.kind !== 'map')
    return void complain(wrongShape(node, `a map of ${TABLE_KEY} and a list for each band`));
  const written = node.entries.get(TABLE_KEY)?.node;
  if (!written) {
    return void complain({
      code: 'MISSING',
      message: 'is missing',
      mend: `add \`${TABLE_KEY}: [0, 90, 180]\``,
      path: [TABLE_KEY],
    });
  }
  const angles = below(anglesUp, written, TABLE_KEY, complain);
  const column = listOf(decibels([-100, 20]), angles?.length ?? 0, angles?.length);
  const columns = bandsOf(node, [TABLE_KEY], complain, (value, key) => below(column, value, key, complain));
  if (node.entries.size === 1) complain(wrongShape(node, 'a table with a list for at least one band'));
  return angles && { angles, columns: columns.map(([hertz, levels]) => ({ hertz, levels })) };
});

export const angleTable: Reader<AngleTable> = forms({ scalar: tableByName, map: tableInFull });

/** One of two keys, and not both. */
export const either = (first: string, second: string, mend: string): Required<Rule> => ({
  bonds: [{ among: [first, second], least: 1, most: 1 }],
  check: (has, complain) => {
    if (has(first) !== has(second)) return;
    complain({ code: 'WRONG_SHAPE', message: `needs either \`${first}\` or \`${second}\``, mend });
  },
});

export const pattern: Reader<PatternEntry> = forms({
  scalar: nameOr(
    'a pattern',
    into(share([0, 1]), (value): PatternEntry => ({ a: value })),
    nameOf('patterns'),
  ),
  map: into(
    keyed(
      'a pattern',
      {
        A: may(a, 'of A + B·cos θ, one number or by band', 0.6),
        table: may(angleTable, 'angle_deg, and dB for each band', {
          angle_deg: [0, 90, 180],
          1000: [0, -6, -20],
        }),
      },
      either('A', 'table', 'write {A: 0.5}, or {table: {angle_deg: [0, 90, 180], 1000: [0, -6, -20]}}'),
    ),
    ({ A, table }): PatternEntry | undefined => (table ? { table } : A === undefined ? undefined : { a: A }),
  ),
});

const depth = decibels([0, 100]);

export const nullDepth: Reader<number | 'textbook'> = into(
  nameOr('a depth in dB, or textbook', depth),
  (value, complain) => {
    if (typeof value === 'number') return value;
    if (value.name === 'textbook') return 'textbook' as const;
    return void complain({
      code: 'WRONG_SHAPE',
      message: `must be dB or textbook, got ${value.name}`,
      mend: 'write 25 dB',
    });
  },
  { takes: 'forms', forms: [choice('textbook'), depth] },
);

const xyOrSpaced = either('xy', 'spaced', 'write {xy: 90} or {spaced: 90 cm}');

/** Degrees, brought to 0 … below 360. */
export const bearing: Reader<number> = into(
  quantity('angle', [-720, 720]),
  (value) => ((value % 360) + 360) % 360,
);

const stereoInMap = into(
  keyed(
    'a stereo pair',
    {
      xy: may(quantity('angle', [20, 180]), 'angle between the two capsules', 90),
      spaced: may(quantity('length', [0.02, 50]), 'distance between the two capsules', '90 cm'),
      line: may(bearing, 'bearing of the line between them', 90),
    },
    {
      bonds: [...xyOrSpaced.bonds, { among: ['line', 'xy'], most: 1 }],
      check: (has, complain, map) => {
        xyOrSpaced.check(has, complain, map);
        const idle = {
          code: 'WRONG_SHAPE',
          message: 'goes with `spaced` alone',
          mend: 'take it out',
        } as const;
        if (has('line') && has('xy')) complain({ ...idle, path: ['line'] });
      },
    },
  ),
  ({ xy, spaced, line }): StereoEntry | undefined => {
    if (xy !== undefined) return { kind: 'xy', angle: xy };
    if (spaced === undefined) return undefined;
    return line === undefined
      ? { kind: 'spaced', distance: spaced }
      : { kind: 'spaced', distance: spaced, line };
  },
);

export const stereo: Reader<StereoEntry> = forms({
  scalar: into(
    choice('ortf', 'nos', 'crossed-8', 'mid-side', 'xy'),
    (kind): StereoEntry => (kind === 'xy' ? { kind, angle: 90 } : { kind }),
  ),
  map: stereoInMap,
});

// Points on the plan, and directions.

/** Two of a kind in a list. */
export function pairOf<T>(item: Reader<T>, wanted: string): Reader<readonly [T, T]> {
  const items = few(item, wanted, [2, 2]);
  return reader({ takes: 'list', items: [item, item], least: 2, most: 2 }, (node, complain) => {
    const [first, second] = items(node, complain) ?? [];
    return first === undefined || second === undefined ? undefined : ([first, second] as const);
  });
}

const coordinate = quantity('length', [-1000, 1000]);

/** [x, y]. */
export const point: Reader<Point> = pairOf(coordinate, '[x, y]');

const coordinates = few(coordinate, '[x, y] or [x, y, z]', [2, 3]);

/** [x, y] or [x, y, z]; z counts from the floor of its room. */
export const place: Reader<Place> = reader(
  { takes: 'list', items: [coordinate, coordinate, coordinate], least: 2, most: 3 },
  (node, complain) => {
    const [x, y, z] = coordinates(node, complain) ?? [];
    if (x === undefined || y === undefined) return undefined;
    return z === undefined ? { x, y } : { x, y, z };
  },
);

function few<T>(item: Reader<T>, wanted: string, [least, most]: readonly [number, number]) {
  return (node: Node, complain: Complain): readonly T[] | undefined => {
    if (node.kind !== 'list') return void complain(wrongShape(node, wanted));
    if (node.unevenCommas) {
      const message = 'has commas with and without a blank after them: decimals take a point';
      return void complain({ code: 'BAD_QUANTITY', message, mend: `write ${wanted}, as in [2.5, 3]` });
    }
    if (node.items.length < least || node.items.length > most) {
      return void complain(
        wrongShape(node, wanted, `write ${wanted}, decimals with a point, as in [2.5, 3]`),
      );
    }
    const values = node.items.map((each, i) => below(item, each, i, complain));
    return values.some((value) => value === undefined) ? undefined : (values as T[]);
  };
}

/** No name reads as a number or a quantity, so what does is an angle, however badly written. */
const isMeantAsAngle = (node: Scalar): boolean =>
  typeof node.value === 'number' || node.foreign !== null || readsAsQuantity(node.text);

/** A bearing, or the name of what is looked at. */
export const facing: Reader<Facing> = reader({ takes: 'forms', forms: [bearing, name] }, (node, complain) => {
  if (node.kind !== 'scalar' || node.value === null) {
    return void complain(wrongShape(node, 'a bearing in degrees or a name'));
  }
  if (isMeantAsAngle(node)) {
    const degrees = by(bearing, node, complain);
    return degrees === undefined ? undefined : { bearing: degrees };
  }
  const target = by(name, node, complain);
  return target === undefined ? undefined : { target };
});

export const tilt: Reader<number> = quantity('angle', [-90, 90]);

/** One value for all bands, or a map of them. Keys in `beside` belong to someone else. */
export function byBand(item: Reader<number>, beside: readonly string[] = []): Reader<ByBand> {
  return reader({ takes: 'bands', item, beside: {} }, (node, complain) => {
    if (node.kind === 'scalar') return by(item, node, complain);
    if (node.kind !== 'map') return void complain(wrongShape(node, 'one value or a map by band'));
    const points = bandsOf(node, beside, complain, (value, key) => below(item, value, key, complain));
    if (points.length > 0) return { kind: 'bands', points } as const;
    if (node.entries.size <= beside.length)
      complain(wrongShape(node, 'a map by band such as {125: 0.2, 1000: 0.5}'));
    return undefined;
  });
}

type ReadBand<T> = (node: MapNode | Parameters<typeof below>[1], key: string) => T | undefined;

/** What stands at each band of a map, by ascending frequency. */
function bandsOf<T>(
  map: MapNode,
  beside: readonly string[],
  complain: Complain,
  read: ReadBand<T>,
): [number, T][] {
  const found = new Map<number, T>();
  for (const [key, { node }] of map.entries) {
    if (beside.includes(key)) continue;
    const octave = octaveOf(key);
    if (octave === null) complain(noBand(key));
    else if (found.has(octave))
      complain({
        code: 'BAD_NAME',
        message: `gives the band of ${octave} Hz twice`,
        mend: 'take one out',
        path: [key],
      });
    else {
      const value = read(node, key);
      if (value !== undefined) found.set(octave, value);
    }
  }
  return [...found].sort(([a], [b]) => a - b);
}

function octaveOf(key: string): number | null {
  const [whole, digits, kilo] = /^(\d+(?:\.\d+)?)\s*(k?)(?:hz)?$/i.exec(key.trim()) ?? [];
  const hertz = Number(digits) * (kilo ? 1000 : 1);
  return whole !== undefined && OCTAVES.includes(hertz) ? hertz : null;
}

function noBand(key: string) {
  const message = 'is not an octave band';
  return {
    code: 'UNKNOWN_KEY',
    message,
    mend: `the bands are ${OCTAVES.join(', ')} (Hz)`,
    path: [key],
  } as const;
}

function tableAbout(): About {
  const item = listOf(decibels([-100, 20]), 2);
  return {
    takes: 'bands',
    item,
    beside: { [TABLE_KEY]: listOf(quantity('angle', [0, 180]), 2) },
    needed: TABLE_KEY,
  };
}

const absorption = share([0, 1]);

const absorptionByBand = into(byBand(absorption), (value): Finish => ({ absorption: value }));

/** A finish of the catalogue, or absorption, one number or by band. */
export const finish: Reader<Finish> = forms({
  scalar: nameOr('a finish', absorptionByBand, nameOf('finishes')),
  map: absorptionByBand,
});

/** A word is a name; anything that reads as a number is a value. */
export function nameOr<T>(
  what: string,
  value: Reader<T>,
  named: Reader<string> = name,
): Reader<{ readonly name: string } | T> {
  return reader<{ readonly name: string } | T>(
    { takes: 'forms', forms: [named, value] },
    (node, complain) => {
      if (node.kind !== 'scalar' || typeof node.value === 'boolean')
        return void complain(wrongShape(node, what));
      if (typeof node.value === 'number' || readsAsQuantity(node.text)) return by(value, node, complain);
      const written = by(named, node, complain);
      return written === undefined ? undefined : { name: written };
    },
  );
}

/** Sound reduction index by band, dB. */
const reduction = byBand(decibels([0, 120]));

/** From a bed sheet to a metre of concrete. */
const mass = quantity('surface-mass', [0.05, 3000]);

const constructionInFull: Reader<Construction> = into(
  keyed(
    'a construction',
    {
      reduction: may(reduction, 'sound reduction index in dB, one number or by band', { 125: 20, 1000: 35 }),
      mass: may(mass, 'mass in kg/m², for an estimate by the mass law where no more is known'),
      absorption: may(byBand(absorption), 'absorption of its faces from 0 to 1, one number or by band'),
    },
    { bonds: [{ among: ['reduction', 'mass'], least: 1, most: 1 }] },
  ),
  ({ reduction: index, mass: weight, ...faces }, complain): Construction | undefined => {
    if (index !== undefined && weight === undefined) return { reduction: index, ...faces };
    if (index === undefined && weight !== undefined) return { mass: weight, ...faces };
    const mend = 'give `reduction`, or `mass` where no more is known';
    const message =
      index === undefined ? 'says nothing of what it lets through' : 'gives both `reduction` and `mass`';
    return void complain({ code: 'WRONG_SHAPE', message, mend });
  },
);

/** What walls, doors, panes and panels are made of: a name from their shelf of the catalogue, or figures. */
export const construction = (
  shelf: 'constructions' | 'doors' | 'glazings' | 'panels',
): Reader<Construction> =>
  forms({
    scalar: into(nameOf(shelf), (written): Construction => ({ name: written })),
    map: constructionInFull,
  });

type Span = readonly [min: number, max: number];

/** A quantity within bounds in SI. `bareFactor`, where given, is what one of a bare number is in SI. */
export function quantity(dimension: Dimension, [min, max]: Span, bareFactor?: number): Reader<number> {
  const bare = bareFactor === undefined ? {} : { bareFactor };
  return reader({ takes: 'quantity', dimension, min, max, ...bare }, (node, complain) => {
    if (node.kind !== 'scalar' || node.value === null || typeof node.value === 'boolean') {
      return void complain(wrongShape(node, `one value such as ${EXAMPLES[dimension]}`));
    }
    const reading = readQuantity(node, dimension, { min, max }, bareFactor);
    return reading.ok ? reading.value : void complain(reading);
  });
}

export const height = quantity('length', [0.1, 100]);

export const size = quantity('length', [0.01, 1000]);

/** A whole number. */
export function whole(span: Span): Reader<number> {
  const number = quantity('count', span);
  const check = (value: number, complain: Complain) => {
    if (Number.isInteger(value)) return value;
    return void complain({
      code: 'BAD_RANGE',
      message: `must be a whole number, got ${value}`,
      mend: `write ${Math.round(value)}`,
    });
  };
  return into(number, check, { ...number.about, step: 1 } as About);
}

export const flag: Reader<boolean> = reader({ takes: 'flag' }, (node, complain) => {
  if (node.kind === 'scalar' && typeof node.value === 'boolean') return node.value;
  return void complain(wrongShape(node, 'true or false'));
});

/** One of a few words. */
export function choice<const T extends string>(...choices: readonly T[]): Reader<T> {
  return reader({ takes: 'choice', choices }, (node, complain) => {
    const written = node.kind === 'scalar' ? choices.find((word) => word === node.text) : undefined;
    if (written !== undefined) return written;
    const near = node.kind === 'scalar' ? offered(node.text, choices) : [];
    const wanted = choices.length > 1 ? `one of ${choices.join(', ')}` : `${choices[0]}`;
    return void complain(
      wrongShape(node, wanted, near.length > 0 ? `write ${oneOf(near)}` : `write ${wanted}`),
    );
  });
}

/** A name, or one of a few words that mean something of their own. */
export const nameOrWord = (...words: readonly string[]): Reader<string> => nameAs({ words });

function nameAs(said: { readonly of?: Shelf; readonly words?: readonly string[] }): Reader<string> {
  return reader({ takes: 'name', ...said }, (node, complain) => {
    if (node.kind !== 'scalar' || typeof node.value !== 'string' || node.text.trim() === '')
      return void complain(wrongShape(node, 'a name'));
    return noLonger(node.text, LONGEST_NAME, complain);
  });
}

/** Characters of a title, a path, an input: far above any, and still to be laid out in no time. */
const LONGEST_TEXT = 1000;

/** Free text; numbers are taken as they are written. */
export const text: Reader<string> = reader({ takes: 'text' }, (node, complain) => {
  if (node.kind === 'scalar' && node.value !== null) return noLonger(node.text, LONGEST_TEXT, complain);
  return void complain(wrongShape(node, 'a text'));
});

function noLonger(written: string, most: number, complain: Complain): string | undefined {
  if (written.length <= 2 * most && [...written].length <= most) return written;
  const message = `must be at most ${most} characters long, got ${shown(written)}`;
  return void complain({ code: 'BAD_RANGE', message, mend: 'make it shorter' });
}

/** A list of at least `least` and at most `most` of a kind. */
export function listOf<T>(item: Reader<T>, least = 0, most = 100_000): Reader<readonly T[]> {
  return reader({ takes: 'list', items: [item], least, most }, (node, complain) => {
    if (node.kind !== 'list') return void complain(wrongShape(node, 'a list in brackets'));
    if (node.items.length < least || node.items.length > most) {
      const wanted =
        most === least ? `${least}` : node.items.length < least ? `at least ${least}` : `at most ${most}`;
      return void complain(wrongShape(node, `a list of ${wanted}`));
    }
    const read = node.items.map((each, i) => below(item, each, i, complain));
    return read.filter((value) => value !== undefined);
  });
}

/** One alone, or a list of them; always a list once read. */
export function oneOrMore<T>(item: Reader<T>): Reader<readonly T[]> {
  return forms({ scalar: into(item, (value): readonly T[] => [value]), list: listOf(item, 1) });
}

type Camel<S> = S extends `${infer A}-${infer B}` ? `${A}${Capitalize<Camel<B>>}` : S;

type Output<E extends Entries> = v.InferOutput<v.ObjectSchema<E, undefined>>;

/** What was read of fixed keys, in camel case. */
type Keyed<E extends Entries> = { readonly [K in keyof Output<E> as Camel<K & string>]: Output<E>[K] };

/** A key that may be left out. `example` is what it may be written as, where its kind alone would show nothing. */
export function may<T>(schema: Reader<T>, description: string, example?: unknown) {
  return v.exactOptional(told(schema, description, example));
}

/** A key that is read as `value` where it is left out. */
export function or<T>(schema: Reader<T>, value: NoInfer<T>, description: string, example?: unknown) {
  return v.optional(told(schema, description, example), value);
}

/** A key that must be there. */
export function must<T>(schema: Reader<T>, description: string, example?: unknown) {
  return told(schema, description, example);
}

type Check = (has: (key: string) => boolean, complain: Complain, map: MapNode) => void;

/** What holds between the keys of one map: as bonds, for those who describe it, and as a check. */
export type Rule = {
  readonly bonds?: readonly Bond[];
  /** Told of what is written, so that it speaks whatever else is wrong. */
  readonly check?: Check;
};

/** A map that has these keys and no others. `what` names it in messages: "a room". */
export function keyed<const E extends Entries>(
  what: string,
  entries: E,
  { bonds = [], check }: Rule = {},
): Reader<Keyed<E>> {
  return reader({ takes: 'map', what, entries, bonds }, (node, complain) => {
    if (node.kind !== 'map') return void complain(wrongShape(node, `${what}: a map of keys`));
    const read: Record<string, unknown> = {};
    for (const [key, schema] of Object.entries(entries)) {
      const value = valueOfKey(node, key, schema, complain);
      if (value !== undefined) read[camel(key)] = value;
    }
    for (const key of node.entries.keys()) {
      if (!Object.hasOwn(entries, key)) complain(unknownKey(key, what, Object.keys(entries)));
    }
    check?.((key) => isWritten(node, key), complain, node);
    return read as Keyed<E>;
  });
}

function valueOfKey(map: MapNode, key: string, schema: Entries[string], complain: Complain): unknown {
  const node = map.entries.get(key)?.node;
  if (node && !(isNull(node) && mayStandEmpty(schema))) return below(schema, node, key, complain);
  if (schema.type === 'optional') return v.getDefault(schema as v.OptionalSchema<Reader<unknown>, unknown>);
  if (schema.type === 'exact_optional') return undefined;
  const mend = `add \`${key}\`: ${v.getDescription(schema)}`;
  return void complain({ code: 'MISSING', message: 'is missing', mend, path: [key] });
}

/** A heading with nothing below it yet, as `baffles:`, holds nothing; an empty value is a slip. */
function mayStandEmpty(schema: Entries[string]): boolean {
  const inner = 'wrapped' in schema ? (schema.wrapped as Reader<unknown>) : schema;
  return 'about' in inner && ['map', 'named'].includes((inner as Reader<unknown>).about.takes);
}

function unknownKey(key: string, what: string, known: readonly string[]) {
  const near = offered(key, known).map((name) => `\`${name}\``);
  const mend = near.length > 0 ? `write ${oneOf(near)}` : `the keys of ${what} are ${known.join(', ')}`;
  return { code: 'UNKNOWN_KEY', message: `is not a key of ${what}`, mend, path: [key] } as const;
}

type Keys = Extract<About, { takes: 'named' }>['keys'];

/** A map from names to entries. An entry `name: ~` is kept as null where it may take something out. */
export function named<T>(what: string, item: Reader<T>, keys: Keys = 'given'): Reader<Named<T>> {
  return reader({ takes: 'named', item, removable: false, keys }, (node, complain) => {
    if (node.kind !== 'map') return void complain(wrongShape(node, `a map of names, each with ${what}`));
    const read = new Map<string, T>();
    for (const [name, entry] of node.entries) {
      if (isNull(entry.node)) complain(removesNothing(name, what));
      else {
        const value = below(item, entry.node, name, complain);
        if (value !== undefined) read.set(name, value);
      }
    }
    return read;
  });
}

/** Like `named`, of things that an instrument may have of itself: `name: ~` takes one out. */
export function namedOrRemoved<T>(what: string, item: Reader<T>): Reader<Named<T | null>> {
  return reader({ takes: 'named', item, removable: true, keys: 'given' }, (node, complain) => {
    if (node.kind !== 'map') return void complain(wrongShape(node, `a map of names, each with ${what} or ~`));
    const read = new Map<string, T | null>();
    for (const [name, entry] of node.entries) {
      const value = isNull(entry.node) ? null : below(item, entry.node, name, complain);
      if (value !== undefined) read.set(name, value);
    }
    return read;
  });
}

function removesNothing(name: string, what: string) {
  const message = `is empty, and there is nothing of that name in a studio that it could remove`;
  const mend = `write ${what} after \`${name}:\`, or take the line out`;
  return { code: 'WRONG_SHAPE', message, mend, path: [name] } as const;
}

// Microphones and lines, as the plan says it.

/** A pattern of the catalogue, the A of `A + B·cos θ` by band, or a measured table. */
export type PatternEntry =
  | { readonly name: string }
  | { readonly a: ByBand }
  | { readonly table: AngleTable };

export type StereoEntry =
  | { readonly kind: 'xy'; readonly angle: number }
  | { readonly kind: 'ortf' | 'nos' | 'crossed-8' | 'mid-side' }
  /** `line` is the bearing of the line between the two capsules. */
  | { readonly kind: 'spaced'; readonly distance: number; readonly line?: number };

export type Complain = (fault: Fault) => void;

/** Shelves of the catalogue whose names a plan may write. */
export type Shelf =
  | 'instruments'
  | 'playing'
  | 'covers'
  | 'finishes'
  | 'contents'
  | 'constructions'
  | 'doors'
  | 'glazings'
  | 'panels'
  | 'patterns';

/** How many keys of some must stand in one map, and how many may; `when` another does, if that is said. */
export type Bond = {
  readonly among: readonly string[];
  readonly least?: 1;
  readonly most?: 1;
  readonly when?: string;
};

export type Described = { readonly about: About };

/** What a schema takes, for those who describe it to others. */
export type About =
  | {
      readonly takes: 'map';
      /** "a room" */
      readonly what: string;
      readonly entries: Entries;
      readonly bonds: readonly Bond[];
    }
  | {
      readonly takes: 'named';
      readonly item: Described;
      readonly removable: boolean;
      /** Whether its keys are names that the plan gives, names given elsewhere, or names of the catalogue. */
      readonly keys: 'given' | 'elsewhere' | Shelf;
    }
  | {
      readonly takes: 'list';
      readonly items: readonly Described[];
      readonly least: number;
      readonly most: number;
    }
  | { readonly takes: 'forms'; readonly forms: readonly Described[] }
  | { readonly takes: 'choice'; readonly choices: readonly string[] }
  | {
      readonly takes: 'quantity';
      readonly dimension: Dimension;
      readonly min: number;
      readonly max: number;
      /** What one of a bare number is in SI, where the unit of the file does not rule; null where it must say its unit. */
      readonly bareFactor?: number | null;
      /** Whole multiples of it alone. */
      readonly step?: number;
    }
  | { readonly takes: 'level'; readonly weighting: 'any' | 'A'; readonly distance: boolean }
  | {
      readonly takes: 'bands';
      readonly item: Described;
      /** Keys beside the bands; `needed` where one of them must be there. */
      readonly beside: Readonly<Record<string, Described>>;
      readonly needed?: string;
    }
  | {
      readonly takes: 'name' | 'text';
      /** Where the catalogue says which names there are. */
      readonly of?: Shelf;
      /** Words with a meaning of their own. */
      readonly words?: readonly string[];
    }
  | { readonly takes: 'flag' };

export type Reader<T> = v.GenericSchema<unknown, T> & Described;

export type Entries = Readonly<Record<string, v.GenericSchema<unknown, unknown>>>;

type Read<T> = (node: Node, complain: Complain) => T | undefined;

type Issue = v.BaseIssue<unknown> & { readonly fault: Fault };

/**
 * A schema of our own. `read` gives undefined where it has complained. What was read of a map without fault is kept by its
 * node: of a plan of which one entry is changed a thousand times, the others are read once.
 */
export function reader<T>(about: About, read: Read<T>): Reader<T> {
  const schema = { ...v.unknown(), type: about.takes, about };
  const known = new WeakMap<Node, { readonly typed: true; readonly value: T | undefined }>();
  const run = (dataset: v.UnknownDataset): unknown => {
    const node = dataset.value as Node;
    const before = known.get(node);
    if (before) return { ...before };
    const faults: Fault[] = [];
    const value = read(node, (fault) => faults.push(fault));
    if (faults.length > 0) return { typed: false, value, issues: faults.map(issueOf) };
    if (node.kind === 'map') known.set(node, { typed: true, value });
    return { typed: true, value };
  };
  return v._standardSchema({ ...schema, '~run': run } as unknown as Omit<
    Reader<T>,
    '~standard'
  >) as Reader<T>;
}

function issueOf(fault: Fault): Issue {
  const { message } = fault;
  return { kind: 'schema', type: 'fault', input: undefined, expected: null, received: '', message, fault };
}

/** Reads one value; its value is undefined where there are faults. */
export function readWith<T>(
  schema: v.GenericSchema<unknown, T>,
  node: Node,
): { value?: T; faults: readonly Fault[] } {
  const result = v.safeParse(schema, node);
  return result.success
    ? { value: result.output, faults: [] }
    : { faults: (result.issues as unknown as Issue[]).map((i) => i.fault) };
}

/** Reads a value below this one; its faults become faults of this one. */
export function below<T>(
  schema: v.GenericSchema<unknown, T>,
  node: Node,
  step: string | number,
  complain: Complain,
): T | undefined {
  const { value, faults } = readWith(schema, node);
  for (const fault of faults) complain({ ...fault, path: [step, ...(fault.path ?? [])] });
  return value;
}

/** Reads this very value by another schema; its faults become faults of this one. */
export function by<T>(schema: v.GenericSchema<unknown, T>, node: Node, complain: Complain): T | undefined {
  const { value, faults } = readWith(schema, node);
  faults.forEach(complain);
  return value;
}

/** A further look at what was read, which may turn it into something else. */
export function into<A, B>(
  schema: Reader<A>,
  go: (value: A, complain: Complain, node: Node) => B | undefined,
  about = schema.about,
): Reader<B> {
  return reader(about, (node, complain) => {
    const value = by(schema, node, complain);
    return value === undefined ? undefined : go(value, complain, node);
  });
}

/** The same reader, of which more can be said than of what it is made of. */
export const described = <T>(schema: Reader<T>, about: About): Reader<T> =>
  into(schema, (value) => value, about);

/** One of several ways to write a value, told apart by what stands there: a single value, a list, a map. */
export function forms<K extends Kinds>(
  kinds: K,
): Reader<v.InferOutput<NonNullable<K[keyof K & keyof Kinds]>>> {
  type T = v.InferOutput<NonNullable<K[keyof K & keyof Kinds]>>;
  const given = Object.values(kinds) as Reader<T>[];
  return reader<T>({ takes: 'forms', forms: given }, (node, complain) => {
    const fitting = kinds[node.kind] as Reader<T> | undefined;
    if (!fitting || (node.kind === 'scalar' && node.value === null)) {
      return void complain(wrongShape(node, given.map(({ about }) => IN_WORDS[about.takes]).join(' or ')));
    }
    return by(fitting, node, complain);
  });
}

type Kinds = { readonly [K in Node['kind']]?: Reader<unknown> };

/** What a node is, in words. */
function kindOf(node: Node): string {
  if (node.kind === 'map') return 'a map';
  if (node.kind === 'list') return `a list of ${node.items.length}`;
  return node.value === null ? 'nothing' : shown(node.text);
}

export function wrongShape(node: Node, wanted: string, mend?: string): Fault {
  const empty = node.kind === 'scalar' && node.value === null;
  const message = empty ? `is empty: ${wanted} is needed` : `must be ${wanted}, got ${kindOf(node)}`;
  return {
    code: 'WRONG_SHAPE',
    message,
    mend: mend ?? (empty ? 'write it, or take the key out' : `write ${wanted}`),
  };
}

// Values that entries of a plan are made of, past their units.

/** Entries by name, in the order of writing; a Map, so that no name is ever taken for a built-in property. */
export type Named<T> = ReadonlyMap<string, T>;

export type Point = readonly [number, number];

/** A point that may go without a height. */
export type Place = { readonly x: number; readonly y: number; readonly z?: number };

/** One number for all eight bands, or points to interpolate between: nominal hertz, ascending, and value. */
export type ByBand =
  | number
  | { readonly kind: 'bands'; readonly points: readonly (readonly [number, number])[] };

/** Measured about an axis: dB re on axis at ascending angles from 0 to 180, a column for each band given (nominal hertz). */
export type AngleTable = {
  readonly angles: readonly number[];
  readonly columns: readonly { readonly hertz: number; readonly levels: readonly number[] }[];
};

/** A bearing in degrees (0 up the page, clockwise, 0 to below 360), or the name of what it looks at. */
export type Facing = { readonly bearing: number } | { readonly target: string };

/** What a meter read, dB re 20 µPa, and from how far. */
export type Level = {
  readonly spl: number;
  readonly weighting: Weighting;
  readonly at: number;
  /** What was taken because it was not written: dBA for a bare number, 1 m. */
  readonly unsaid?: readonly ('weighting' | 'distance')[];
};

type Weighting = 'Z' | 'A' | 'C';

/** A finish of the catalogue, or absorption (0 to 1) by band. */
export type Finish = { readonly name: string } | { readonly absorption: ByBand };

/**
 * A construction of the catalogue, or its sound reduction index in dB by band, or its mass in kg/m² where no more is known;
 * with the absorption of its faces.
 */
export type Construction =
  | { readonly name: string }
  | { readonly mass: number; readonly absorption?: ByBand }
  | { readonly reduction: ByBand; readonly absorption?: ByBand };
