/** What a key of a plan or an error code means: read from the schema that reads plans, as data and as a view. */
import type { Finding, FindingCode } from '../finding.ts';
import { GHOST_LIMIT } from '../judge/ghost.ts';
import { QUIET_ROOM, USUAL_CUE } from '../judge/hearing.ts';
import { conceptFix, conceptOf, concepts } from '../plan/concepts.ts';
import { readDocument } from '../plan/document.ts';
import { yamlInline } from '../plan/edit.ts';
import { exampleOfKey, quantityIn, type Shelves } from '../plan/json-schema.ts';
import { planSchema } from '../plan/plan.ts';
import type { Key, Shape, ShapeOf, Shelf } from '../plan/schema.ts';
import { DIMENSIONS } from '../plan/units.ts';
import { AIM_LOSS, USUAL_NULL_DEPTH, USUAL_PATTERN } from '../scene/mics.ts';
import { WINDOW_SILL } from '../scene/partitions.ts';
import { toleranceOf } from '../scene/perturbation.ts';
import { USUAL_AIR } from '../scene/resolve.ts';
import { ASSUMED_FINISHES } from '../scene/rooms.ts';
import { LATER_LIMITS, strictest } from '../scene/scene.ts';
import { USUAL_DYNAMIC } from '../scene/source-acoustics.ts';
import { ELBOW_ROOM } from '../suggest/places.ts';
import { allOf, closestNames, figure, MOST_OFFERED, oneOf, sameName } from '../text.ts';
import { type Block, prose, type Section, type View } from './view.ts';

/** Stands in a path for any name that a plan gives. */
export const NAME = 'NAME';

/** A key and its place; a step ends in [] where a list of maps follows. */
type KeyPlace = {
  readonly steps: readonly string[];
  readonly key: Key;
  readonly map: ShapeOf<'object'>;
};

export type ExplainedKey = {
  readonly path: string;
  readonly description: string;
  readonly presence: 'required' | 'optional';
  readonly values: readonly string[];
  /** How quantities among them are written; null where there are none. */
  readonly units: string | null;
  /** What holds where it is left out; null where nothing does. */
  readonly default: string | null;
  /** What holds between it and other keys of its map. */
  readonly rules: readonly string[];
  /** Everywhere it may stand, with what the map there is: "a mic". */
  readonly places: readonly { readonly path: string; readonly map: string }[];
  /** YAML, from the top of a plan. */
  readonly example: readonly string[];
  readonly keys: readonly KeyLine[];
  readonly neighbours: readonly string[];
};

type KeyLine = { readonly path: string; readonly description: string };

export type ExplainedCode = {
  readonly code: FindingCode;
  readonly means: string;
  readonly causes: readonly string[];
  readonly fix: string;
  /** A plan or a command, and what is said of it. */
  readonly example: { readonly input: readonly string[]; readonly output: readonly string[] };
};

/** Needed in every plan; each file is asked for it before its keys are read. */
const VERSION = 'spillcheck';

/** Every key of the format, depth first, each place of it. */
export const keyPlaces = (): KeyPlace[] => [...placesIn(planSchema.shape, [])];

function* placesIn(shape: Shape, steps: readonly string[]): Generator<KeyPlace> {
  const last = steps.at(-1) ?? '';
  switch (shape.kind) {
    case 'object':
      for (const [name, key] of Object.entries<Key>(shape.keys)) {
        const place = { steps: [...steps, name], key, map: shape };
        yield place;
        yield* placesIn(key.reader.shape, place.steps);
      }
      break;
    case 'record':
      yield* placesIn(shape.item.shape, [...steps, NAME]);
      break;
    case 'list':
      for (const { shape: item } of shape.items.slice(0, 1))
        yield* placesIn(item, [...steps.slice(0, -1), `${last}[]`]);
      break;
    case 'union':
      for (const form of shape.forms) yield* placesIn(form.shape, steps);
      break;
    default:
  }
}

const plainStep = (step: string): string => step.replace('[]', '');
/** Without names: `mics.near`. */
const plainPath = ({ steps }: KeyPlace): string =>
  steps.flatMap((step) => (step === NAME ? [] : plainStep(step))).join('.');

const pathOf = ({ steps }: KeyPlace): string => steps.map(plainStep).join('.');

/** Places of the keys that are asked for, one of each key: by path, with names or without, or else by the end of one. */
export function findKeys(asked: string): KeyPlace[] {
  const wanted = asked
    .replaceAll(/\[\d*\]/g, '')
    .split('.')
    .filter((step) => step !== '' && !/^(?:\d+|\*|<.*>)$/.test(step));
  const all = keyPlaces();
  const found = placesOf(wanted, all, (step, word) => step.toLowerCase() === word.toLowerCase());
  return found.length > 0 || conceptOf(asked) ? found : placesOf(wanted, all, sameName);
}

type IsCalled = (step: string, word: string) => boolean;

function placesOf(wanted: readonly string[], all: readonly KeyPlace[], isCalled: IsCalled): KeyPlace[] {
  const plain = wanted.join('.').toLowerCase();
  const whole =
    all.find((place) => plainPath(place) === plain) ??
    all.find(({ steps }) => leadsTo(steps, wanted, isCalled));
  if (whole) return [whole];
  const under = all.find(
    ({ steps, key }) => key.reader.shape.kind === 'record' && leadsTo([...steps, NAME], wanted, isCalled),
  );
  if (under) return isTypo(wanted.at(-1) ?? '', under) ? [] : [under];
  const ends = all.filter(({ steps }) =>
    steps.some((first, i) => i > 0 && first !== NAME && leadsTo(steps.slice(i), wanted, isCalled)),
  );
  return ends.filter(({ key }, i) => ends.findIndex((other) => other.key === key) === i);
}

/** Whether what could be a name below a key is rather meant as one of the keys there; short words are near too many. */
function isTypo(word: string, { key: { reader } }: KeyPlace): boolean {
  const item = reader.shape.kind === 'record' ? reader.shape.item.shape : null;
  return (
    item?.kind === 'object' && word.length > 5 && closestNames(word, Object.keys(item.keys)).length === 1
  );
}

/** Whether steps asked for lead along a path, any name or none in place of NAME. */
function leadsTo([step, ...rest]: readonly string[], wanted: readonly string[], isCalled: IsCalled): boolean {
  const [word, ...others] = wanted;
  if (step === undefined || word === undefined) return step === word;
  if (step === NAME) return leadsTo(rest, wanted, isCalled) || leadsTo(rest, others, isCalled);
  return isCalled(plainStep(step), word) && leadsTo(rest, others, isCalled);
}

/** What to write instead of a word that is no key: the key for it, or what comes near. */
export function fixForKey(asked: string, shelves: Shelves): string {
  const last = asked.split('.').at(-1) ?? '';
  const concept = conceptOf(asked) ?? conceptOf(last);
  if (concept) return conceptFix(concept);
  if (Object.values(shelves).some((known) => known.includes(last)))
    return `${last} is in the catalogue: spillcheck catalogue ${last}`;
  const names = [...new Set(keyPlaces().map(({ steps }) => plainStep(steps.at(-1) ?? '')))];
  const near = closestNames(last, [...names, ...CODES_IN_ORDER]).slice(0, MOST_OFFERED);
  const isMeant = (word: string) =>
    Math.min(word.length, last.length) > 5 && closestNames(last, [word]).length > 0;
  const meant = concepts().flatMap(({ key, words }) => (words.some(isMeant) ? [key] : []));
  const offered = near.length > 0 ? near : meant.slice(0, MOST_OFFERED);
  if (offered.length > 0) return `did you mean ${oneOf(offered.map((one) => `"${one}"`))}?`;
  return 'spillcheck explain lists the top keys of a plan and all error codes';
}

export function explainKey(place: KeyPlace, shelves: Shelves): ExplainedKey {
  const { key, map, steps } = place;
  const all = keyPlaces();
  const inside = all.filter((one) => isInside(one, steps));
  const name = plainStep(steps.at(-1) ?? '');
  return {
    path: pathOf(place),
    description: describedBy(key).text,
    presence: key.presence === 'required' || name === VERSION ? 'required' : 'optional',
    values: valuesOf(key.reader.shape),
    units: unitsOf(key.reader.shape),
    default: defaultOf(place, all),
    rules: rulesOf(name, map),
    places: all.filter((one) => one.key === key).map((one) => ({ path: pathOf(one), map: one.map.what })),
    example: exampleLines(place, all, shelves),
    keys: inside.map((one) => ({ path: pathOf(one), description: describedBy(one.key).text })),
    neighbours: Object.keys(map.keys).filter((one) => one !== name),
  };
}

/** The next keys below, names not counted. */
function isInside({ steps }: KeyPlace, above: readonly string[]): boolean {
  const between = steps.slice(above.length, -1);
  return (
    steps.length > above.length &&
    above.every((step, i) => plainStep(step) === plainStep(steps[i] ?? '')) &&
    between.every((step) => step === NAME)
  );
}

export const topKeys = (shelves: Shelves): ExplainedKey[] =>
  keyPlaces()
    .filter(({ steps }) => steps.length === 1)
    .map((place) => explainKey(place, shelves));

/** A line for each form that a value may have. */
function valuesOf(shape: Shape): string[] {
  switch (shape.kind) {
    case 'quantity':
      return [rangeOf(shape)];
    case 'level':
      return [shape.distance ? '88 dB, 88 dBA or 88 dBA at 1 m' : 'a level such as 85 dBA'];
    case 'flag':
      return ['true or false'];
    case 'choice':
      return [oneOf(shape.choices)];
    case 'name':
    case 'text': {
      const words = shape.words?.length ? [oneOf(shape.words)] : [];
      const free = shape.kind === 'name' ? 'a name in the plan' : 'text';
      return [...words, shape.of ? namesOf(shape.of) : free];
    }
    case 'list': {
      const { items, least, most } = shape;
      const count = least === most ? ` of ${least}` : most <= 1000 ? ` of ${least} to ${most}` : '';
      const more = count === '' && least > 1 ? ` of ${least} or more` : count;
      return [`a list${more}, each ${oneOf(items.slice(0, 1).map((one) => itemOf(one.shape)))}`];
    }
    case 'union':
      return [...new Set(shape.forms.flatMap((form) => valuesOf(form.shape)))];
    case 'bands': {
      const each = valuesOf(shape.item.shape);
      const beside = allOf(Object.keys(shape.beside).map((key) => `\`${key}\``));
      const map = `a map by octave${beside && ` and ${beside}`}`;
      return shape.needed ? [map] : [...each, map];
    }
    case 'record':
      return [`a map of names, each ${itemOf(shape.item.shape)}`];
    case 'object':
      return [`a map: {${Object.keys(shape.keys).join(', ')}}`];
  }
}

const namesOf = (shelf: Shelf): string =>
  shelf === 'playing'
    ? 'a technique from spillcheck catalogue INSTRUMENT'
    : `a name from spillcheck catalogue ${shelf}`;

/** One of a list or of a map of names: a map by what it is called. */
const itemOf = (shape: Shape): string => oneOf([...new Set(itemForms(shape))]);

function itemForms(shape: Shape): string[] {
  if (shape.kind === 'object') return [`with the keys of ${shape.what}`];
  return shape.kind === 'union' ? shape.forms.flatMap((form) => itemForms(form.shape)) : valuesOf(shape);
}

/** "0.1 to 100 m" */
function rangeOf({ dimension, min, max, step, bareFactor }: ShapeOf<'quantity'>): string {
  const { base } = DIMENSIONS[dimension];
  const hours = bareFactor === HOUR;
  const span = hours ? `${figure(min / HOUR, 2)} to ${max / HOUR} h` : `${min} to ${max}${afterNumber(base)}`;
  if (step === 1) return `a whole number, ${span}`;
  return `${span}${step === undefined ? '' : `, in steps of ${step}`}${bareFactor === null ? ', with its unit' : ''}`;
}

const HOUR = 3600;
const afterNumber = (unit: string): string => (unit === '' || unit === '°' ? unit : ` ${unit}`);

/** How a quantity is written, and what a bare number counts in. */
function unitsOf(shape: Shape): string | null {
  const quantity = quantityIn(shape);
  if (!quantity) return null;
  const { dimension, bareFactor } = quantity;
  const { base, example } = DIMENSIONS[dimension];
  if (base === '' || bareFactor === null) return null;
  const own = base === '°' ? 'degrees' : base;
  const bare = dimension === 'length' ? 'the units of the plan, m or ft' : own;
  return `${example}; a bare number is in ${bareFactor === HOUR ? 'hours' : bare}`;
}

/** A description ends with a default that depends on other things: "Default: by the instrument." */
function describedBy({ description }: Key): { readonly text: string; readonly default: string | null } {
  const [text = '', value] = description.split(/\s*Default: (?=.*\.$)/);
  return { text, default: value?.replace(/\.$/, '') ?? null };
}

function defaultOf({ key }: KeyPlace, all: readonly KeyPlace[]): string | null {
  const known = Object.entries(defaults()).find(([path]) =>
    all.some((one) => one.key === key && plainPath(one) === path),
  );
  const value = known ? known[1] : (describedBy(key).default ?? key.default);
  if (typeof value === 'number') return `${value}${unitOf(key.reader.shape)}`;
  if (typeof value === 'string') return value;
  if (typeof value === 'boolean') return String(value);
  return key.presence === 'required' || value === undefined ? null : 'none';
}

function unitOf(shape: Shape): string {
  const quantity = quantityIn(shape);
  return quantity ? afterNumber(DIMENSIONS[quantity.dimension].base) : '';
}

/** What is taken where a plan leaves a key out, by path without names, from the code that takes it. */
export function defaults(): Readonly<Record<string, number | string>> {
  const { nullDepth, ...spread } = toleranceOf({});
  const [low = 0, , , , kilohertz = 0] = nullDepth.from;
  const [lowTo = 0, , , , kilohertzTo = 0] = nullDepth.to;
  const byLater = Object.entries(LATER_LIMITS).map(([later, limit]) => `${later} ${limit}`);
  const tolerance = Object.entries(spread).map(([name, value]) => [
    `tolerance.${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`,
    value,
  ]);
  return {
    'air.temperature': USUAL_AIR.temperature,
    'air.humidity': USUAL_AIR.humidity,
    'rooms.floor': ASSUMED_FINISHES.floor,
    'rooms.ceiling': ASSUMED_FINISHES.ceiling,
    'rooms.walls': ASSUMED_FINISHES.wall,
    'rooms.outside': ASSUMED_FINISHES.outside,
    'rooms.noise': `${QUIET_ROOM} dBA`,
    'partitions.windows.sill': `${WINDOW_SILL} m for a window, 0 for a door or opening`,
    'players.cue.level': `${USUAL_CUE} dBA`,
    'players.facing': 'up the page (0°)',
    'sources.facing': 'up the page (0°)',
    'players.dynamic': USUAL_DYNAMIC,
    'players.playing': 'the usual technique of the instrument',
    'players.later': strictest([]).later,
    'mics.pattern': `${USUAL_PATTERN}; figure-8 in a crossed-8 pair`,
    'mics.null-depth': USUAL_NULL_DEPTH,
    'mics.aim-loss': AIM_LOSS,
    'limits.signal-to-bleed': `by \`later\` of the part, in dB: ${byLater.join(', ')}`,
    'limits.ghost': `${GHOST_LIMIT} dB for a part with \`later: replace\``,
    'tolerance.null-depth': `[${kilohertz}, ${kilohertzTo}] dB; [${low}, ${lowTo}] dB under 200 Hz and over 6 kHz`,
    'limits.isolation': `${LATER_LIMITS.tune} dB for a part with \`later: tune\``,
    'floor.elbow-room': ELBOW_ROOM,
    ...Object.fromEntries(tolerance),
  };
}

function rulesOf(name: string, { constraints }: ShapeOf<'object'>): string[] {
  return constraints
    .filter(({ among, when }) => among.includes(name) || when?.includes(name))
    .map(({ among, least, most, when }) => {
      const quoted = (names: readonly string[]) => names.map((key) => `\`${key}\``);
      const keys = quoted(among);
      const before = when === undefined ? '' : `with ${oneOf(quoted(when), 'or')}, `;
      if (!least) return `${before}at most one of ${oneOf(keys, 'and')}`;
      return `${before}${most ? 'exactly' : 'at least'} one of ${oneOf(keys, 'and')} is needed`;
    });
}

/** From the top of a plan down to the key; names are those of the examples of the keys above. */
function exampleLines({ steps, key }: KeyPlace, all: readonly KeyPlace[], shelves: Shelves): string[] {
  const value = steps.reduceRight<unknown>(
    (below, step, i) => {
      if (step !== NAME) return { [plainStep(step)]: step.endsWith('[]') ? [below] : below };
      const above = all.find(
        ({ steps: path }) => path.join('.') === steps.slice(0, i).map(plainStep).join('.'),
      );
      const [name = NAME] = above ? Object.keys(Object(exampleOfKey(above.key, shelves))) : [];
      return { [name]: below };
    },
    exampleOfKey(key, shelves),
  );
  return yamlLines(value, steps.length - 1);
}

const WIDEST = 76;

/** Numbers and quantities need no quotes in an example: `{125: 0.2}`. */
const plainWord = (text: string): string =>
  /^[-\p{L}\d_][\p{L}\d_ ./°²%-]*$/u.test(text) ? text : JSON.stringify(text);

/** Maps on lines of their own down to a depth, and further down where one line is too short for them. */
export function yamlLines(value: unknown, depth: number): string[] {
  const { tree } = readDocument({ name: '', text: JSON.stringify(value) });
  const lines = (node: NonNullable<typeof tree>, level: number): string[] => {
    if (node.kind !== 'map') return [yamlInline(node, plainWord)];
    return [...node.entries].flatMap(([key, { node: below }]) => {
      const indent = '  '.repeat(level);
      const inline = `${indent}${key}: ${yamlInline(below, plainWord)}`;
      const isBlock = below.kind === 'map' && (level < depth || inline.length > WIDEST);
      return isBlock ? [`${indent}${key}:`, ...lines(below, level + 1)] : [inline];
    });
  };
  return tree ? lines(tree, 0) : [];
}

/** A plan that has it, or a command that ends with it. */
export type CodeExample =
  | { readonly plan: readonly string[] }
  | { readonly command: string; readonly says: Finding };

type CodeWords = Pick<ExplainedCode, 'means' | 'causes' | 'fix'> & { readonly example: CodeExample };

const said = (code: FindingCode, message: string, fix: string): Finding => ({
  code,
  severity: 'error',
  path: [],
  message,
  fix,
});

const CODES: Readonly<Record<FindingCode, CodeWords>> = {
  FILE_UNREADABLE: {
    means: 'A file cannot be read or written.',
    causes: [
      'The file does not exist, or it is a folder',
      'It is larger than a plan may be, or permission is denied',
      'A studio or table lies outside the folder of the plan',
      'The output would overwrite an input, or a plan that was saved in the meantime',
    ],
    fix: 'Check the path and the permissions.',
    example: {
      command: 'spillcheck report sesion.yaml',
      says: said(
        'FILE_UNREADABLE',
        'sesion.yaml: no such file or folder',
        'check the path, and that the file may be read',
      ),
    },
  },
  PLAN_SYNTAX: {
    means: 'The file is not valid YAML, so no plan can be read from it.',
    causes: ['A bracket is missing', 'A tab is used for indentation', 'A key appears twice in one map'],
    fix: 'Correct the line shown; an editor with YAML support marks it while you type.',
    example: { plan: ['spillcheck: 1', 'rooms:', '  hall: {size: [9, 7], height: 3.6', 'players:'] },
  },
  PLAN_VERSION: {
    means: 'The plan does not give its format version, or gives one that this release cannot read.',
    causes: ['`spillcheck: 1` is missing', 'The plan was written for another release'],
    fix: 'Begin the plan with `spillcheck: 1`.',
    example: { plan: ['title: Rehearsal'] },
  },
  UNKNOWN_KEY: {
    means: 'The plan format has no such key in this place.',
    causes: ['A typo', 'A key in the wrong map', 'A word that the format has another key for'],
    fix: 'Use the key that the message offers, or look one up: spillcheck explain KEY.',
    example: { plan: ['spillcheck: 1', 'booths: {vocals: {size: [2, 2], height: 2.4}}'] },
  },
  WRONG_TYPE: {
    means:
      'A value has the wrong form: a list instead of a name, a word instead of a number, nothing at all.',
    causes: ['Brackets or braces are missing', 'A key has no value', 'Two keys exclude each other'],
    fix: 'Write the form that the message asks for; spillcheck explain KEY shows an example.',
    example: { plan: ['spillcheck: 1', 'rooms:', '  hall: {size: 9, height: 3.6}'] },
  },
  BAD_VALUE: {
    means: 'A number or unit cannot be read.',
    causes: [
      'A decimal comma',
      'A unit of another kind, such as kg for a length',
      'A word where a number belongs',
    ],
    fix: 'Write the number with a decimal point, and a unit that fits.',
    example: { plan: ['spillcheck: 1', 'rooms:', '  hall: {size: [9, 7], height: 3 kg}'] },
  },
  BAD_OPTION: {
    means:
      'An option or argument of the command line is missing, unknown or has a value that cannot be used.',
    causes: ['A typo', 'A value out of its range', 'Two options that exclude each other'],
    fix: 'See the help of the command: spillcheck COMMAND --help.',
    example: {
      command: 'spillcheck suggest plan.yaml --combine 9',
      says: said('BAD_OPTION', '--combine must be 1 to 5, not 9', 'write --combine 2'),
    },
  },
  OUT_OF_RANGE: {
    means: 'A value can be read, but lies outside the range that makes sense.',
    causes: ['A wrong unit, such as centimetres written as metres', 'A sign or digit too many'],
    fix: 'Write a value within the range that the message gives.',
    example: { plan: ['spillcheck: 1', 'rooms:', '  hall: {size: [9, 7], height: 360}'] },
  },
  BAD_NAME: {
    means: 'The name cannot be used.',
    causes: [
      'It reads as a number, a quantity, yes or no',
      'It has a dot or bracket, or a meaning of its own (all, room, outside)',
      'A player, instrument, source or listener already has it',
    ],
    fix: 'Choose another name.',
    example: { plan: ['spillcheck: 1', 'players:', '  all: {at: [2, 2], plays: violin}'] },
  },
  UNKNOWN_NAME: {
    means: 'Nothing has this name: neither in the plan nor in the catalogue.',
    causes: ['A typo', 'What it named was renamed or removed', 'The catalogue has another name for it'],
    fix: 'Use a name that the message offers; spillcheck catalogue WORD finds instruments and materials.',
    example: { plan: ['spillcheck: 1', 'players:', '  ann: {at: [2, 2], facing: 0, plays: violn}'] },
  },
  MISSING_KEY: {
    means: 'A required key is missing.',
    causes: ['It was forgotten', 'Another key of the same map requires it'],
    fix: 'Add the key; spillcheck explain KEY shows how it is written.',
    example: { plan: ['spillcheck: 1', 'rooms:', '  hall: {size: [9, 7]}'] },
  },
  BAD_POSITION: {
    means: 'Something cannot be where the plan puts it.',
    causes: [
      'It is outside every room',
      'Two people stand on the same spot',
      'An outline crosses itself, or a door is not in the wall between its rooms',
    ],
    fix: 'Correct the coordinates; spillcheck draw shows where everything is.',
    example: {
      plan: [
        'spillcheck: 1',
        'rooms:',
        '  hall: {size: [9, 7], height: 3.6}',
        'players:',
        '  ann: {at: [12, 2], facing: 0, plays: violin}',
      ],
    },
  },
  FILE_EXISTS: {
    means: 'The output file already exists and is not overwritten.',
    causes: ['The name is taken by an earlier plan'],
    fix: 'Choose another name, or overwrite the file.',
    example: {
      command: 'spillcheck start -o plan.yaml',
      says: said('FILE_EXISTS', 'plan.yaml already exists', 'choose another name or add --force'),
    },
  },
  WARNING: {
    means: 'The plan is computed, but something in it should be checked.',
    causes: [
      'A mic is closer than its instrument allows',
      'A null cannot be turned all the way',
      'A likely typo',
    ],
    fix: 'Check what it names; if that is intended, leave it.',
    example: {
      plan: [
        'spillcheck: 1',
        'rooms:',
        '  hall: {size: [9, 7], height: 3.6}',
        'players:',
        '  ann: {at: [2, 2], facing: 0, plays: violin}',
        '  ben: {at: [2, 4], facing: 180, plays: flute}',
        'mics:',
        '  ann-mic: {for: ann, near: {distance: 30 cm}, pattern: cardioid, null-at: ben}',
      ],
    },
  },
};

export const CODES_IN_ORDER = Object.keys(CODES).sort() as FindingCode[];

/** What can be asked for: every key by its path without names, and every code. */
export const explainedWords = (): string[] => [...new Set(keyPlaces().map(plainPath)), ...CODES_IN_ORDER];

export const codeNamed = (asked: string): FindingCode | null =>
  CODES_IN_ORDER.find((code) => sameName(code, asked)) ?? null;

export async function explainCode(
  code: FindingCode,
  output: (example: CodeExample) => Promise<string>,
): Promise<ExplainedCode> {
  const { example, ...words } = CODES[code];
  const lines = (await output(example)).trimEnd().split('\n');
  const input = 'plan' in example ? example.plan : [`$ ${example.command}`];
  return { code, ...words, example: { input, output: lines } };
}

/** All there is: the top keys with a line each, and every code. */
export const explainOverview = (keys: readonly ExplainedKey[]): View => ({
  title: 'Keys of a plan',
  lead: [],
  sections: [
    { id: 'keys', title: '', blocks: keyList(keys) },
    { id: 'codes', title: 'Error codes', blocks: prose('notes', [CODES_IN_ORDER.join(', ')]) },
    hint('More: spillcheck explain KEY, such as mics.near; spillcheck explain CODE.'),
  ],
});

const hint = (text: string): Section => ({ id: 'hint', title: '', blocks: prose('remarks', [text]) });

function keyList(lines: readonly KeyLine[]): Block[] {
  const least = Math.max(...lines.map(({ path }) => path.length));
  const entries = lines.map(({ path, description }) => ({ key: path, text: firstSentence(description) }));
  return lines.length > 0 ? [{ kind: 'each', least, entries }] : [];
}

const lastStep = (path: string): string => path.split('.').at(-1) ?? '';
const shortened = ({ path, description }: KeyLine): KeyLine => ({ path: lastStep(path), description });

function placeWords({ path, map }: ExplainedKey['places'][number]): string {
  const above = path.split('.').slice(0, -1).join('.');
  return above === '' ? 'the top level of a plan' : `${map}: ${above}`;
}

/** Enough for a line among others. */
const firstSentence = (text: string): string => text.split(/(?<=\.)\s/)[0] ?? text;

/** Several keys that end alike. */
export const keysView = (asked: string, keys: readonly ExplainedKey[]): View => ({
  title: `${asked}: a key of ${keys.length} maps`,
  lead: [],
  sections: [
    { id: 'keys', title: '', blocks: keyList(keys) },
    hint(`One of them: spillcheck explain ${keys[0]?.path ?? ''}`),
  ],
});

export function keyView(key: ExplainedKey): View {
  const { path, description, presence, values, rules, places, example, keys, neighbours } = key;
  const facts = [
    ...values.map((text, i) => ({ key: i === 0 ? 'Values' : '', text })),
    ...(key.units === null ? [] : [{ key: 'Units', text: key.units }]),
    { key: 'Default', text: key.default ?? (presence === 'required' ? 'none: the key is required' : 'none') },
    ...rules.map((text, i) => ({ key: i === 0 ? 'Rules' : '', text })),
    ...places.map((place, i) => ({ key: i === 0 ? 'Where' : '', text: placeWords(place) })),
  ];
  return {
    title: path,
    lead: [description],
    sections: [
      { id: 'facts', title: '', blocks: [{ kind: 'each', least: 'Default'.length, entries: facts }] },
      { id: 'example', title: 'Example', blocks: [verbatim(example)] },
      { id: 'keys', title: 'Keys', blocks: keyList(keys.map(shortened)) },
      { id: 'neighbours', title: 'Neighbouring keys', blocks: prose('notes', [neighbours.join(', ')]) },
    ],
  };
}

const verbatim = (lines: readonly string[]): Block => ({
  kind: 'verbatim',
  lines: lines.map((line) => `  ${line}`),
});

export const codeView = ({ code, means, causes, fix, example }: ExplainedCode): View => ({
  title: code,
  lead: [means],
  sections: [
    { id: 'causes', title: 'Causes', blocks: prose('list', causes) },
    { id: 'fix', title: 'Fix', blocks: prose('notes', [fix]) },
    { id: 'example', title: 'Example', blocks: [verbatim(example.input)] },
    { id: 'output', title: 'Message', blocks: [verbatim(example.output)] },
  ],
});
