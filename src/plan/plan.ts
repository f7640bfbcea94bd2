/** A plan from its text: every key of the format, each with what it means, and the way from text to plan or to all its errors. */
import { type Finding, hasErrors, type Path, takes } from '../finding.ts';
import type { LengthUnit, MapNode, Source, Spot } from './document.ts';
import * as doc from './document.ts';
import { type From, type Hear, headingFindings, type Load, layOverStudio, readTables } from './files.ts';
import { floor, limits, onHand, tolerance } from './limits.ts';
import { mic } from './mics.ts';
import { nameFaults } from './names.ts';
import { listener, player, source } from './players.ts';
import { readRecordings } from './recordings.ts';
import { baffle, partition, room } from './rooms.ts';
import * as s from './schema.ts';
import { readUncommon } from './units.ts';

const air = s.object('the air', {
  temperature: s.optional(
    s.quantity('temperature', [-30, 60]),
    'Sets the temperature of the air. Default: 20 °C.',
  ),
  humidity: s.optional(
    s.quantity('percent', [1, 100]),
    'Sets the relative humidity of the air. Default: 50 %.',
  ),
});

const NO_LIMITS: s.Out<typeof limits> = {
  seeEachOther: [],
  hear: new Map(),
  balance: [],
  weighting: 'own',
};
/** Checked with the heading of each file. */
const version: s.Reader<string> = { ...s.text, shape: { kind: 'choice', choices: ['1'] } };
const units: s.Reader<string> = { ...s.text, shape: { kind: 'choice', choices: ['m', 'ft'] } };

export const planSchema = s.transform(
  s.object('a plan', {
    spillcheck: s.optional(version, 'Gives the version of the plan format, always 1.', 1),
    title: s.optional(
      s.text,
      'Names the session, for the head of reports and drawings.',
      'Brass band in the school hall',
    ),
    units: s.optional(units, 'Sets the unit of lengths written without one: m or ft. Default: m.', 'ft'),
    studio: s.optional(
      s.text,
      'Names a plan file of the studio, by relative path; this plan overrides and adds to it, and ~ removes.',
      'hall.yaml',
    ),
    air: s.withDefault(air, {}, 'Sets the {temperature, humidity} of the air.'),
    rooms: s.optionalRecord(
      'a room',
      room,
      'Names the rooms. Without any the plan is outdoors, without reflections.',
      {
        hall: {
          size: [9, 7],
          height: 3.6,
          floor: 'wood-on-joists',
          ceiling: 'acoustic-tile',
          walls: 'plaster',
        },
      },
    ),
    partitions: s.optionalRecord(
      'a partition',
      partition,
      'Names the walls between rooms, with their doors and windows.',
      {
        'hall-store': { between: ['hall', 'store'], wall: 'stud-gypsum-insulated' },
      },
    ),
    baffles: s.optionalRecord('a baffle', baffle, 'Names the baffles (gobos).', {
      gobo: { from: [3, 2], to: [4.5, 2], height: 1.5, 'made-of': 'upholstered-baffle' },
    }),
    players: s.optionalRecord('a player', player, 'Names the people who play.', {
      tuba: { at: [2, 4], facing: 'cornet', plays: 'tuba', later: 'leave' },
    }),
    sources: s.optionalRecord(
      'a source',
      source,
      'Names whatever else sounds: amplifiers, sections, wedges.',
      {
        'bass-amp': { instrument: 'bass-amp', at: [1, 1, 0.4], facing: 45, level: '92 dBC at 1 m' },
      },
    ),
    listeners: s.optionalRecord(
      'a listener',
      listener,
      'Names the people who only listen, such as a conductor.',
      {
        producer: { at: [1, 1], facing: 'drums' },
      },
    ),
    mics: s.optionalRecord('a mic', mic, 'Names the mics and DIs.', {
      'voice-mic': { for: 'voice', near: { distance: '20 cm' }, pattern: 'figure-8', 'null-at': 'guitar' },
    }),
    passages: s.optionalRecord(
      'a list of names',
      s.listOf(s.name, 1),
      'Names passages of the music, each with the sources that sound in it.',
      {
        verse: ['singer', 'guitar'],
        chorus: ['singer', 'guitar', 'drums'],
      },
    ),
    limits: s.withDefault(limits, NO_LIMITS, 'Sets the limits the plan must meet.', {
      'signal-to-bleed': { 'voice-mic': '20 dB' },
      'three-to-one': true,
    }),
    'on-hand': s.withDefault(
      onHand,
      { baffles: [], absorption: [], mics: [] },
      'Lists spare equipment that fixes may use.',
      {
        baffles: [{ 'made-of': 'upholstered-baffle', width: 1.5, height: 1.5, count: 2 }],
      },
    ),
    floor: s.withDefault(
      floor,
      { noStands: new Map(), walkways: new Map() },
      'Sets what must stay clear on the floor.',
      {
        'elbow-room': 0.6,
      },
    ),
    tolerance: s.withDefault(
      tolerance,
      {},
      'Sets how far each value may be off, for --tolerance and `confidence`.',
      { aim: 8, place: '10 cm' },
    ),
  }),
  ({ spillcheck: _version, units: _units, studio: _studio, ...plan }) => plan,
);

/** `units` is what bare lengths of the plan itself count in, whatever a studio under it says, and what lengths are shown in. */
export type PlanData = s.Out<typeof planSchema> & {
  readonly units: LengthUnit;
  readonly unitsGiven?: true;
};
export type AirEntry = PlanData['air'];

/** What was written to a plan, with every error of shape, unit, range and name. Names are looked up later. `whole` is the plan laid over its studio. */
export function validate(whole: MapNode): { plan: PlanData | null; findings: Finding[] } {
  const { value, faults } = s.readWith(planSchema, whole);
  const findings = [...faults, ...nameFaults(whole)].map(doc.findingOf);
  const given = whole.entries.has('units') ? ({ unitsGiven: true } as const) : {};
  const plan = value && findings.length === 0 ? { ...value, units: doc.unitsOfTree(whole), ...given } : null;
  return { plan, findings };
}

export type ReadPlan = {
  /** Null where there is an error among the findings. */
  readonly plan: PlanData | null;
  /** As written, laid over its studio, tables and times of files written out: for those who change it. */
  readonly tree: MapNode;
  readonly findings: readonly Finding[];
  /** Where a path was written: the nearest written value, or with `key` the key that leads to it. */
  readonly locate: (path: Path, want?: 'key' | 'value') => Spot;
  /** Where a finding of this plan is shown, whoever found it. */
  readonly spotOf: (finding: Finding) => Spot;
  /** Findings as text for people: sorted by place, each with its source line, no wider than `width` columns. */
  readonly show: (findings: readonly Finding[], width?: number) => string;
};

/** Without a loader, files that the plan names are errors. */
const loadNothing: Load = async () => ({ problem: 'other files cannot be read here' });
const hearNothing: Hear = async () => ({
  problem: 'recordings cannot be read here',
  fix: 'give the times by octave instead',
});

/**
 * Reads a plan and the studio it lies over. `name` is shown in findings; `load` is asked for studios and tables alone, `hear` for
 * recordings, and with `allowOutside` for such as do not lie below the folder of the plan, too.
 */
export async function readPlan(text: string, given: Pick<From, 'name'> & Partial<From>): Promise<ReadPlan> {
  takes('readPlan', 'the text of a plan', text, 'string');
  takes('readPlan', 'a name for the plan, as in { name: "plan.yaml" }', given, ['name']);
  const { name, load = loadNothing, hear = hearNothing, allowOutside = false } = given;
  const from = { name, load, hear, allowOutside };
  const source = { name, text };
  const own = doc.readDocument(source);
  if (own.tree?.kind !== 'map') return answer(null, own.findings, doc.emptyMap(source), [source]);
  const heading = headingFindings(own.tree, 'plan');
  const foreign = heading.filter(({ code, path }) => code === 'PLAN_VERSION' && path.length > 0);
  // a plan of another version has other keys: what we would say of them is noise
  if (foreign.length > 0) return answer(null, foreign, own.tree, [source]);
  const laid = await layOverStudio(own.tree, from);
  const tooMuch = doc.sizeFaults(laid.tree).map(doc.findingOf);
  const sources = [source, ...laid.sources];
  if (tooMuch.length > 0)
    return answer(null, [...own.findings, ...heading, ...laid.findings, ...tooMuch], laid.tree, sources);
  const tables = await readTables(laid.tree, from);
  const { tree, findings: heard } = await readRecordings(tables.tree, from);
  await readUncommon(tree);
  const { plan, findings } = validate(tree);
  const all = [...own.findings, ...heading, ...laid.findings, ...tables.findings, ...heard, ...findings];
  return answer(hasErrors(all) ? null : plan, all, tree, sources);
}

function answer(
  plan: PlanData | null,
  found: readonly Finding[],
  tree: MapNode,
  sources: readonly Source[],
): ReadPlan {
  const starts = new Map<Source, readonly number[]>();
  const spotIn = (source: Source, offset: number): Spot => {
    const lines = starts.get(source) ?? doc.lineStarts(source.text);
    starts.set(source, lines);
    return doc.spotAt(source, offset, lines);
  };
  const locate: ReadPlan['locate'] = (path, want) => {
    const { source, offset } = doc.markOf(tree, path, want);
    return spotIn(source, offset);
  };
  const spotOf: ReadPlan['spotOf'] = (finding) => {
    const source = sources.find(({ name }) => name === finding.file) ?? sources[0];
    if (finding.offset !== undefined && source) return spotIn(source, finding.offset);
    return locate(finding.path, ABOUT_KEYS.has(finding.code) ? 'key' : 'value');
  };
  const findings = doc.firstErrors(found, spotOf);
  const show: ReadPlan['show'] = (which, width) => doc.frameAll(which, spotOf, width);
  return { plan, tree, findings, locate, spotOf, show };
}

/** Errors about the key itself, not its value. */
const ABOUT_KEYS: ReadonlySet<string> = new Set(['UNKNOWN_KEY', 'BAD_NAME']);
