/** `readPlan(text, from)`: heading, studio, validate; the whole plan schema. */
import type { Finding, FindingCode, Path } from '../finding.ts';
import { visible } from '../text.ts';
import { type Fault, type LengthUnit, type MapNode, type Node, shown, unitsOfTree } from './document.ts';
import {
  type FloorEntry,
  floor,
  type LimitsEntry,
  limits,
  type OnHandEntry,
  onHand,
  type ToleranceEntry,
  tolerance,
} from './limits.ts';
import { type MicEntry, mic } from './mics.ts';
import { namesOf } from './names.ts';
import {
  type ListenerEntry,
  listener,
  type PlayerEntry,
  player,
  type SourceEntry,
  source,
} from './players.ts';
import { type BaffleEntry, baffle, type PartitionEntry, partition, type RoomEntry, room } from './rooms.ts';
import {
  described,
  into,
  keyed,
  listOf,
  may,
  type Named,
  name,
  named,
  or,
  quantity,
  type Reader,
  readWith,
  text,
} from './schema.ts';

// What was written to a plan, with every fault of shape, unit, range and name. Names are looked up later.
/** `whole` is the plan laid over its studio. */
export function validate(whole: MapNode): { plan: PlanData | null; findings: Finding[] } {
  const { value = null, faults } = readWith(planSchema, whole);
  const findings = [...faults, ...namesOf(whole)].map(findingOf);
  const plan = findings.length > 0 ? null : value;
  return { plan: plan && { ...plan, units: unitsOfTree(whole) }, findings };
}

/** Findings may be printed anywhere: nothing that steers a terminal leaves here. */
export function findingOf({ code, message, mend, path = [] }: Fault): Finding {
  const finding = { code, severity: 'error', path, message: visible(`${subject(path)} ${message}`) } as const;
  return mend === undefined ? finding : { ...finding, mend: visible(mend) };
}

/** A path as one says it: mics.main.at[2]. */
function subject(path: Path): string {
  const steps = path.map((step) => (typeof step === 'number' ? `[${step}]` : `.${shown(step)}`));
  return steps.join('').replace(/^\./, '') || 'the plan';
}

// The plan: every key of the format, each with what it means, read into `PlanData`. Version and units are each file's own
// (heading.ts), `studio` has been followed by now.

const air = keyed('the air', {
  temperature: may(quantity('temperature', [-30, 60]), '°C, 20 if unsaid'),
  humidity: may(quantity('percent', [1, 100]), 'relative, %, 50 if unsaid'),
});

/** Checked with the heading of each file. */
const version = described(text, { takes: 'choice', choices: ['1'] });

const units = described(text, { takes: 'choice', choices: ['m', 'ft'] });

export const planSchema: Reader<Omit<PlanData, 'units'>> = into(
  keyed('a plan', {
    spillcheck: may(version, 'version of the plan format: 1', 1),
    title: may(text, 'what the plan is of', 'Brass band in the school hall'),
    units: may(units, 'm or ft: what bare lengths count in, m if unsaid', 'ft'),
    studio: may(text, 'a plan that this one lays itself over, by relative path', 'hall.yaml'),
    air: or(air, {}, '{temperature, humidity}'),
    rooms: or(named('a room', room), new Map(), 'rooms by name; none: a free field', {
      hall: {
        size: [9, 7],
        height: 3.6,
        floor: 'wood-on-joists',
        ceiling: 'acoustic-tile',
        walls: 'plaster',
      },
    }),
    partitions: or(named('a partition', partition), new Map(), 'walls between rooms, by name', {
      'hall-store': { between: ['hall', 'store'], wall: 'stud-gypsum-insulated' },
    }),
    baffles: or(named('a baffle', baffle), new Map(), 'screens, by name', {
      screen: { from: [3, 2], to: [4.5, 2], height: 1.5, 'made-of': 'upholstered-screen' },
    }),
    players: or(named('a player', player), new Map(), 'people who play, by name', {
      tuba: { at: [2, 4], facing: 'cornet', plays: 'tuba', later: 'leave' },
    }),
    sources: or(named('a source', source), new Map(), 'whatever else sounds, by name', {
      'bass-amp': { instrument: 'bass-amp', at: [1, 1, 0.4], facing: 45, level: '92 dBC at 1 m' },
    }),
    listeners: or(named('a listener', listener), new Map(), 'people who do not play, by name', {
      producer: { at: [1, 1], facing: 'drums' },
    }),
    mics: or(named('a mic', mic), new Map(), 'microphones and lines, by name', {
      'voice-mic': { for: 'voice', near: { distance: '20 cm' }, pattern: 'figure-8', 'null-at': 'guitar' },
    }),
    passages: or(named('a list of names', listOf(name, 1)), new Map(), 'who sounds together, by name', {
      verse: ['singer', 'guitar'],
      chorus: ['singer', 'guitar', 'drums'],
    }),
    limits: or(limits, { seeEachOther: [], hear: new Map(), weighting: 'own' }, 'what must be met', {
      'signal-to-bleed': { 'voice-mic': '20 dB' },
      'three-to-one': true,
    }),
    'on-hand': or(onHand, { baffles: [], absorption: [], mics: [] }, 'what there is to use', {
      baffles: [{ 'made-of': 'upholstered-screen', width: 1.5, height: 1.5, count: 2 }],
    }),
    floor: or(floor, { noStands: new Map(), walkways: new Map() }, 'where nothing may stand', {
      'elbow-room': 0.6,
    }),
    tolerance: or(tolerance, {}, 'how sure each figure is', { aim: 8, place: '10 cm' }),
  }),
  ({ spillcheck: _version, units: _units, studio: _studio, ...plan }) => plan,
);

export type PlanData = {
  readonly title?: string;
  /** What bare lengths of the plan itself count in, whatever a studio under it says; what is told of it is told in them. */
  readonly units: LengthUnit;
  readonly air: AirEntry;
  readonly rooms: Named<RoomEntry>;
  readonly partitions: Named<PartitionEntry>;
  readonly baffles: Named<BaffleEntry>;
  readonly players: Named<PlayerEntry>;
  readonly sources: Named<SourceEntry>;
  readonly listeners: Named<ListenerEntry>;
  readonly mics: Named<MicEntry>;
  readonly passages: Named<readonly string[]>;
  readonly limits: LimitsEntry;
  readonly onHand: OnHandEntry;
  readonly floor: FloorEntry;
  readonly tolerance: ToleranceEntry;
};

/** °C and per cent of relative humidity. */
export type AirEntry = { readonly temperature?: number; readonly humidity?: number };

// What each file says of itself before anything else is read in it: its version and what its bare lengths count in.

/** Faults of a file's heading. A plan must say its version, a studio may. */
export function headingFindings(file: MapNode, what: 'plan' | 'studio'): Finding[] {
  const findings: Finding[] = [];
  const say = (code: FindingCode, key: string, at: Node, message: string, mend: string) => {
    const { source, offset } = at.mark;
    const place = { path: file === at ? [] : [key], offset, file: source.name };
    findings.push({ code, severity: 'error', ...place, message: visible(message), mend });
  };
  const version = file.entries.get('spillcheck')?.node;
  if (!version && what === 'plan') {
    say('PLAN_VERSION', '', file, 'the plan does not say its version', 'begin with `spillcheck: 1`');
  }
  if (version && wordOf(version) !== '1') {
    const message = `spillcheck must be 1, the version of the plan format read here, got ${wordOf(version)}`;
    say('PLAN_VERSION', 'spillcheck', version, message, 'write `spillcheck: 1`');
  }
  const units = file.entries.get('units')?.node;
  if (units && !['m', 'ft'].includes(wordOf(units))) {
    say('WRONG_SHAPE', 'units', units, `units must be one of m, ft, got ${wordOf(units)}`, 'write m or ft');
  }
  return findings;
}

function wordOf(node: Node): string {
  if (node.kind !== 'scalar') return `a ${node.kind}`;
  return node.value === null ? 'nothing' : shown(node.text);
}
