/** Every string that a person can see: what commands print, literals of src that no run may reach, pages, schemas, catalogue, fixtures. */
import { readdirSync, readFileSync } from 'node:fs';
import { parseSync } from 'rolldown/utils';
import { globSync } from 'tinyglobby';
import { concepts } from '../../src/plan/concepts.ts';
import { CODES_IN_ORDER, keyPlaces } from '../../src/report/explain.ts';
import { sized } from '../sized.ts';
import { spillcheck } from '../spillcheck.ts';

/** Words from one place, on one line. */
export type Said = { readonly area: string; readonly where: string; readonly text: string };

const HALL = 'fixtures/brass-hall.yaml';
const STORE = 'fixtures/folk-barn-store.yaml';
const READINGS = 'fixtures/readings/brass-hall.csv';
const COMMANDS =
  'report why check compare try suggest draw sheet line-check decay explain catalogue start schema completion'.split(
    ' ',
  );

/** `npm test` runs the analyses on the first of them; sentences in src are read in any case. */
const PLANS = [
  ...new Set([HALL, STORE, ...readdirSync('fixtures').map((name) => `fixtures/${name}`)]),
].filter((name) => name.endsWith('.yaml'));

const firstMic = (plan: string): string =>
  JSON.parse(spillcheck(['report', plan, '--json']).stdout).mics[0].name;

const ofPlan = (plan: string): string[][] => [
  ['report', plan, '--all', '--assumptions'],
  ['report', plan, '--all', '--html', '-'],
  ['report', plan, '--all', '--json'],
  ['why', plan, '--mic', firstMic(plan), '--all'],
  ['why', plan, '--mic', firstMic(plan), '--json'],
  ['check', plan, '--all'],
  ...['json', 'junit', 'sarif', 'annotations'].map((format) => ['check', plan, '--format', format]),
  ['compare', HALL, plan, '--all'],
  ['suggest', plan, '--all'],
  ['suggest', plan, '--json'],
  ['draw', plan],
  ...['text', 'csv', 'html', 'json'].map((format) => ['sheet', plan, '--format', format]),
];

const ONCE: readonly (readonly string[])[] = [
  ['--help'],
  ...COMMANDS.map((command) => [command, '--help']),
  ['report', HALL, '--tolerance'],
  ['report', HALL, '--readings', READINGS],
  ['compare', 'fixtures/radio-play.yaml', 'fixtures/radio-play-open.yaml', '--json'],
  ['try', 'fixtures/two-guitars.yaml', '--each', 'mics.left-mic.aim.bearing=0..90/45'],
  ['try', 'fixtures/two-guitars.yaml', '--each', 'mics.left-mic.aim.bearing=0..90/45', '--json'],
  ['line-check', HALL, READINGS, '--all'],
  ['line-check', HALL, 'fixtures/readings/brass-hall-omni.csv', '--all'],
  ['line-check', HALL, READINGS, '--json'],
  ['draw', HALL, '--level', 'tuba', '--dark'],
  ['draw', STORE, '--paper', 'a4'],
  ['explain'],
  ...[...new Map(keyPlaces().map(({ key, steps }) => [key, steps])).values()].map((steps) => [
    'explain',
    steps.join('.'),
  ]),
  ...CODES_IN_ORDER.map((code) => ['explain', code]),
  ['catalogue'],
  ['catalogue', '--json'],
  ['catalogue', 'instruments', 'trombone'],
  ['catalogue', 'finishes'],
  ['catalogue', 'constructions'],
  ['catalogue', 'patterns', 'cardioid'],
  ['schema'],
  ...['living-room', 'hall', 'church', 'garage'].map((room) => ['start', '--room', room]),
  ...['bash', 'zsh', 'fish'].map((shell) => ['completion', shell]),
  ['completion', 'words', '--', 'report', HALL, ''],
  ['completion', 'words', '--', 'report', HALL, '--'],
];

/** What is asked wrongly. */
const REFUSED: readonly (readonly string[])[] = [
  ['report'],
  ['repotr', HALL],
  ['report', 'fixtures/nowhere.yaml'],
  ['report', HALL, '--show', 'nothing'],
  ['report', HALL, '--sample-rate', 'fast'],
  ['report', HALL, '--mic', 'nobody'],
  ['report', HALL, '--passage', 'coda'],
  ['report', HALL, '-o', HALL],
  ['report', HALL, '--readings', 'fixtures/nowhere.csv'],
  ['why', HALL, '--mic', 'cornet', '--source', 'tuba'],
  ['why', HALL, '--mic', 'cornet-mic', '--source', 'tubas'],
  ['check', 'fixtures/nowhere-*.yaml'],
  ['check', HALL, '--format', 'paper'],
  ['check', HALL, '--format', 'json=a', '--format', 'junit=a'],
  ['compare', HALL],
  ['try', HALL],
  ['try', HALL, '--each', 'mics.cornet.height=1..2/0'],
  ['try', HALL, '--each', 'mics.cornet-mic.height=1..2/1', '--top', '2'],
  ['suggest', HALL, '--combine', '9'],
  ['suggest', HALL, '--in-place'],
  ['suggest', HALL, '--apply', '1', '--in-place', '-o', 'x.yaml'],
  ['draw', HALL, '--paper', 'a9'],
  ['draw', HALL, '--band', '300'],
  ['sheet', HALL, '--format', 'docx'],
  ['line-check', HALL, HALL],
  ['line-check', HALL],
  ['catalogue', 'instruments', 'trombonne'],
  ['catalogue', 'nonsense'],
  ['explain', 'booths'],
  ['explain', 'mics.pattrn'],
  ['explain', 'nonsense'],
  ['start', '--room', 'cave'],
  ['start', '-o', HALL],
  ['completion', 'tcsh'],
];

/** Text and labels of a page or drawing; anything else as it is. */
const visible = (text: string): string =>
  /^\s*<(?:!doctype|svg)/i.test(text)
    ? text
        .replace(/<(style|script)\b[\s\S]*?<\/\1>/g, ' ')
        .replace(/<[^>]*?(?:aria-label|title|alt)="([^"]*)"[^>]*>/g, ' $1 ')
        .replace(/<[^>]*>/g, ' ')
        .replaceAll('&gt;', '>')
        .replaceAll('&lt;', '<')
        .replaceAll('&amp;', '&')
    : text;

const onOneLine = (text: string): string => visible(text).replace(/\s+/g, ' ').trim();

function saidBy(args: readonly string[], area: string): Said {
  const { stdout, stderr } = spillcheck(args, { env: { ...process.env, COLUMNS: '120', NO_COLOR: '1' } });
  return {
    area,
    where: `spillcheck ${args.join(' ')}`,
    text: `${onOneLine(stdout)} ${onOneLine(stderr)}`,
  };
}

/** A node of the syntax tree. */
type Syntax = { readonly [key: string]: unknown; readonly type: string };
const isSyntax = (value: unknown): value is Syntax =>
  typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string';

/** Sentences, options and codes among the literals below a node; templates with … for what they insert. */
function* literalsIn(value: unknown): Generator<string> {
  if (Array.isArray(value)) for (const each of value) yield* literalsIn(each);
  if (!isSyntax(value) || value.type.startsWith('TS')) return;
  if (value.type === 'Literal' && typeof value.value === 'string') yield value.value;
  if (value.type === 'TemplateLiteral' && Array.isArray(value.quasis))
    yield value.quasis.map(({ value: { cooked } }) => cooked).join('…');
  for (const [key, part] of Object.entries(value)) if (key !== 'source') yield* literalsIn(part);
}

/** Not the lists that say which names of the code become which names of JSON. */
const isShown = (literal: string): boolean =>
  /\s|^--|^[A-Z]+(?:_[A-Z]+)*$/.test(literal) && !/^\s*(?:\w+(?:=\w+)?\s+)*\w+=\w/.test(literal);

function saidInSource(file: string): Said[] {
  const { program } = parseSync(file, readFileSync(file, 'utf8'));
  const folder = file.split('/').slice(0, 2).join('/');
  return [...literalsIn(program.body)]
    .filter(isShown)
    .map((text) => ({ area: folder, where: file, text: onOneLine(text) }));
}

/** Descriptions of a schema, and the names of what it describes as JSON shows them. */
function* describedIn(value: unknown): Generator<string> {
  if (typeof value !== 'object' || value === null) return;
  for (const [key, part] of Object.entries(value)) {
    if ((key === 'description' || key === 'title') && typeof part === 'string') yield part;
    if (key === 'properties') yield* Object.keys(part).map((name) => `"${name}":`);
    yield* describedIn(part);
  }
}

export function everythingSaid(): Said[] {
  const files = (pattern: string, area: string) =>
    globSync(pattern).map((where) => ({ area, where, text: onOneLine(readFileSync(where, 'utf8')) }));
  const plans = PLANS.slice(0, sized(2, PLANS.length));
  return [
    ...ONCE.map((args) => saidBy(args, args.includes('--help') ? 'help' : (args[0] ?? ''))),
    ...plans.flatMap(ofPlan).map((args) => saidBy(args, args[0] ?? '')),
    ...REFUSED.map((args) => saidBy(args, 'errors')),
    ...globSync('fixtures/broken/*.yaml').map((file) => saidBy(['report', file], 'errors')),
    ...globSync('src/**/*.ts', { ignore: 'src/plan/concepts.ts' }).sort().flatMap(saidInSource),
    // its other words are what people type
    ...concepts().map(({ says }) => ({ area: 'src/plan', where: 'src/plan/concepts.ts', text: says })),
    ...globSync('shared/schemas/*.json').flatMap((where) =>
      [...describedIn(JSON.parse(readFileSync(where, 'utf8')))].map((text) => ({
        area: 'schemas',
        where,
        text: onOneLine(text),
      })),
    ),
    ...files('{README,DEVELOPERS,shared/*}.md', 'pages'),
    ...files('shared/catalogue/**/*.yaml', 'catalogue'),
    ...files('shared/starters/*.yaml', 'start'),
    ...files('fixtures/*.yaml', 'fixtures'),
    ...files('fixtures/{studio,readings,patterns}/*', 'fixtures'),
  ];
}
