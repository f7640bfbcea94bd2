/** What a plan can say that cannot be (errors), or that hardly anyone would mean (warnings). All limits here: common practice, no source. */
import { allBands, decibels, energyOf, KILOHERTZ, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { gain } from '../acoustics/directivity.ts';
import { DYNAMICS } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import * as geo from '../geometry.ts';
import { lengthsIn } from '../plan/units.ts';
import { groupBy } from '../statistics.ts';
import { allOf, figure } from '../text.ts';
import { type Context, type ResolvedSource, sourcesNamed } from './context.ts';
import { BODY_RADIUS } from './people.ts';
import type { Capsule, Mic, Player, Scene, SourcePoint } from './scene.ts';
import { OUTSIDE } from './scene.ts';
import { levelOnAxis } from './source-acoustics.ts';

/** The scene as the plan makes it, whether or not it may be computed, and what it was made from. */
type Subject = {
  readonly scene: Scene;
  readonly resolved: readonly ResolvedSource[];
  readonly context: Context;
};

/** Notes what cannot be, as errors. */
export function noteImpossible(scene: Scene, resolved: readonly ResolvedSource[], context: Context): void {
  const subject = { scene, resolved, context };
  notePieces(subject);
  noteHeights(subject);
  noteCrowding(subject);
  noteMicsInBodies(subject);
  noteOwnNulls(subject);
  noteChannels(subject);
  noteFilters(subject);
  noteStereo(subject);
}

/** Notes what hardly anyone would mean, as warnings. */
export function noteOdd(scene: Scene, resolved: readonly ResolvedSource[], context: Context): void {
  const subject = { scene, resolved, context };
  noteAims(subject);
  noteLines(subject);
  noteLimits(subject);
  noteLevels(subject);
  noteSilentOctaves(subject);
  noteSizes(subject);
  noteNearlyTouching(subject);
}

/** A name with a dot means a piece of a kit: one that is not there must not be taken for the whole kit. */
function notePieces({ resolved, context: { plan, notes } }: Subject): void {
  const targets: (readonly [Path, string | undefined])[] = [
    ...[...plan.players, ...plan.listeners].map(([name, { facing }]) => {
      const section = plan.players.has(name) ? 'players' : 'listeners';
      return [[section, name, 'facing'], facing && 'target' in facing ? facing.target : undefined] as const;
    }),
    ...[...plan.mics].flatMap(([name, { aim, nullAt }]) => [
      [['mics', name, 'aim'], aim && 'target' in aim ? aim.target : undefined] as const,
      [['mics', name, 'null-at'], nullAt] as const,
    ]),
  ];
  for (const [path, target] of targets) {
    if (!target?.includes('.')) continue;
    const [kit] = target.split('.');
    const pieces = resolved.flatMap(({ name }) => (name.startsWith(`${kit}.`) ? [name] : []));
    if (pieces.length > 0 && !pieces.includes(target))
      notes.unknown(pieces, target, 'piece of the kit', path);
  }
}

/** From eyes to the top of the head, m. */
const CROWN = 0.12;

/** Heads and instruments above the ceiling, as on too high a riser. */
function noteHeights({ scene: { rooms, players, sources }, context: { plan, notes } }: Subject): void {
  const { apart } = lengthsIn(plan.units);
  const refuse = (path: Path, what: string, { floor, ceiling }: (typeof rooms)[number], height: number) =>
    notes.misplaced(
      path,
      `${what} would be ${apart(height - floor)} above the floor; the ceiling is at ${apart(ceiling - floor)}`,
      'lower the riser or the height, or check the height of the room',
    );
  for (const { name, path, room, eyes } of players) {
    const place = rooms[room];
    const top = eyes[2] + CROWN;
    if (place && top > place.ceiling) refuse(path, `the head of ${name}`, place, top);
  }
  for (const { name, path, points } of sources) {
    const place = rooms[points[0]?.room ?? OUTSIDE];
    const heights = points.map(({ at }) => at[2]);
    const top = Math.max(...heights);
    if (place && (top > place.ceiling || (heights[0] ?? 0) < place.floor)) refuse(path, name, place, top);
  }
}

/** Closer than this two bodies overlap, m: shoulders are about 45 cm wide, a body 25 cm deep. */
const BODY_WIDTH = 0.35;

function noteCrowding({ scene: { players }, context: { plan, notes } }: Subject): void {
  const { close } = lengthsIn(plan.units);
  players.forEach((player, i) => {
    const other = players.slice(0, i).find(({ at }) => geo.distance(at, player.at) < BODY_WIDTH);
    if (!other) return;
    const gap = geo.distance(other.at, player.at);
    const path = [...player.path, 'at'];
    const message = `${player.name} is only ${close(gap)} from ${other.name}: their bodies overlap`;
    if (gap < 2 * BODY_RADIUS) notes.misplaced(path, message, 'move one of them');
    else notes.caution(path, message, 'move one of them');
  });
}

function noteMicsInBodies({ scene: { players, mics, capsules }, context: { notes } }: Subject): void {
  const holds = ({ at, eyes }: Player, mic: Capsule) =>
    geo.span(at, mic.at) < BODY_RADIUS && mic.at[2] > at[2] && mic.at[2] < eyes[2] + CROWN;
  for (const capsule of capsules) {
    const inside = players.find((player) => holds(player, capsule));
    const path = mics[capsule.mic]?.path ?? [];
    if (inside)
      notes.misplaced(
        path,
        `${capsule.name} is inside the body of ${inside.name}`,
        'move it in front of the instrument, or above the player',
      );
  }
}

/** A figure-8 picks up as much from behind, an omni from everywhere: between these shares of A a mic has one front. */
const ONE_FRONT = [0.1, 0.9] as const;
/** What a source radiates less toward the mic than along its axis before it counts as turned away, dB at 2 kHz. */
const TURNED_AWAY = 6;
const AT_2K = KILOHERTZ + 1;

function noteAims(subject: Subject): void {
  const { scene, context } = subject;
  for (const mic of scene.mics.filter(({ purpose, line }) => purpose === 'parts' && !line)) {
    const capsules = mic.capsules.flatMap((i) => scene.capsules[i] ?? []);
    const off = offAim(mic, capsules, scene);
    const nulled = off === null ? inNull(mic, capsules, scene) : null;
    if (off !== null)
      context.notes.caution(
        mic.path,
        `${mic.name} points away from ${off}: more than 90° off its aim`,
        `aim: ${off}`,
      );
    if (nulled !== null)
      context.notes.caution(
        mic.path,
        `${mic.name} has its null at ${nulled}, which it is for`,
        `aim: ${nulled}`,
      );
    const [only] = mic.wanted.length === 1 ? mic.wanted : [];
    const source = scene.sources[only ?? -1];
    if (source && capsules[0] && isTurnedAway(source, capsules[0].at))
      context.notes.caution(
        mic.path,
        `${mic.name} is behind ${source.name}, which radiates away from it`,
        'move it to the front, or turn the source',
      );
  }
}

/** The first source that no capsule of a mic has in front of it; null where none is, or where the pattern has no one front. */
function offAim(mic: Mic, capsules: readonly Capsule[], { sources }: Scene): string | null {
  const [least, most] = ONE_FRONT;
  const hasOneFront = ({ pattern: { table, a } }: Capsule) =>
    table !== null || ((a[KILOHERTZ] ?? 1) > least && (a[KILOHERTZ] ?? 1) < most);
  if (capsules.length === 0 || !capsules.every(hasOneFront)) return null;
  const isBehind = ({ points }: { readonly points: readonly SourcePoint[] }) =>
    capsules.every(({ at, aim }) => points.every((point) => geo.dot(aim, geo.subtract(point.at, at)) < 0));
  const own = mic.wanted.flatMap((i) => sources[i] ?? []);
  const kits = groupBy(own, ({ kit, name }) => kit ?? name);
  return [...kits].find(([, pieces]) => pieces.every(isBehind))?.[0] ?? null;
}

/** A source that a mic picks up this many dB less than on its axis is in its null. */
const IN_NULL = 10;

/** The first source that is in the null of every capsule of a mic at 1 kHz, or null. */
function inNull(mic: Mic, capsules: readonly Capsule[], { sources }: Scene): string | null {
  const isNulled = ({ pattern: { table, a }, at, aim }: Capsule, point: SourcePoint) => {
    const A = a[KILOHERTZ] ?? 1;
    const cos = geo.dot(aim, geo.unit(geo.subtract(point.at, at)));
    return table === null && decibels((A + (1 - A) * cos) ** 2) < -IN_NULL;
  };
  const own = mic.wanted.flatMap((i) => sources[i] ?? []);
  const lost = own.find(
    ({ points }) =>
      points.length > 0 && capsules.every((capsule) => points.every((point) => isNulled(capsule, point))),
  );
  return capsules.length > 0 ? (lost?.name ?? null) : null;
}

/** A DI needs a line output or a pickup, and a voice has neither. */
function noteLines({ scene, resolved, context: { notes } }: Subject): void {
  for (const { name, path, wanted: own } of scene.mics.filter(({ line }) => line)) {
    const wanted = own.flatMap((i) => resolved[i] ?? []);
    const [first] = wanted;
    const hasOutput = ({ instrument, acoustics }: ResolvedSource) =>
      instrument === null || !acoustics?.figures || acoustics.figures.output !== null;
    if (!first || wanted.some(hasOutput)) continue;
    notes.caution(
      [...path, 'di'],
      `${name} is a DI, but a ${first.instrument} has neither line output nor pickup`,
      'use a mic; for a fitted pickup add a source with `instrument: line-only`',
    );
  }
}

function isTurnedAway({ points, directivity }: Scene['sources'][number], from: geo.Vec3): boolean {
  const toward = (cos: number) => gain(directivity, AT_2K, cos);
  return points.every(({ at, axis }) => {
    const cos = geo.dot(axis, geo.unit(geo.subtract(from, at)));
    return cos < 0 && decibels(toward(1) / toward(cos)) > TURNED_AWAY;
  });
}

function noteOwnNulls({ scene, resolved, context: { plan, notes } }: Subject): void {
  for (const { name, path, wanted, purpose, line } of scene.mics) {
    const target = plan.mics.get(name)?.nullAt;
    if (target === undefined || purpose !== 'parts' || line) continue;
    const isOwn = sourcesNamed(resolved, target).some((i) => wanted.includes(i));
    if (isOwn)
      notes.misplaced(
        [...path, 'null-at'],
        `points its null at ${target}, which it is for`,
        'name a source that it should reject',
      );
  }
}

/** Signal below bleed and a ghost above the part itself are no limits that anyone works to. */
function noteLimits({ context: { plan, notes } }: Subject): void {
  const { signalToBleed, isolation, ghost } = plan.limits;
  const check = (
    key: string,
    values: ReadonlyMap<string, number> | number | undefined,
    isOdd: (limit: number) => boolean,
    why: string,
  ) => {
    const named = typeof values === 'number' ? [[null, values] as const] : [...(values ?? [])];
    for (const [name, limit] of named)
      if (isOdd(limit))
        notes.caution(
          ['limits', key, ...(name === null ? [] : [name])],
          `${figure(limit, 1)} dB ${why}`,
          `check the sign: ${figure(-limit, 1)} dB?`,
        );
  };
  const ratios = (limits: typeof signalToBleed | typeof isolation) =>
    limits && ('all' in limits ? limits.all : 'mics' in limits ? limits.mics : limits.parts);
  check(
    'signal-to-bleed',
    ratios(signalToBleed),
    (limit) => limit < 0,
    'lets the bleed be louder than the signal',
  );
  check('isolation', ratios(isolation), (limit) => limit < 0, 'lets the bleed be louder than the part');
  check('ghost', ghost, (limit) => limit > 0, 'lets the ghost be louder than the part was');
}

function noteChannels({ scene: { mics }, context: { notes } }: Subject): void {
  const taken = new Map<string, string>();
  for (const { name, path, channels } of mics)
    channels.forEach((channel) => {
      const other = taken.get(channel);
      if (other !== undefined)
        notes.fault(
          'BAD_NAME',
          [...path, 'channel'],
          `channel ${channel} is already taken by ${other}`,
          other === name ? 'a pair takes two channels' : 'give one of them another channel',
        );
      taken.set(channel, name);
    });
}

function noteFilters({ scene: { mics }, context: { notes } }: Subject): void {
  for (const { path, highPass, lowPass } of mics)
    if (highPass && lowPass && highPass.at >= lowPass.at)
      notes.fault(
        'OUT_OF_RANGE',
        [...path, 'high-pass'],
        `is at ${highPass.at} Hz, above the low-pass at ${lowPass.at} Hz: nothing would pass`,
        'swap them',
      );
}

function noteStereo({ scene: { mics, capsules }, context: { notes } }: Subject): void {
  for (const {
    path,
    stereo,
    capsules: [first = -1],
  } of mics) {
    const pattern = capsules[first]?.pattern;
    if (
      stereo === 'crossed-8' &&
      pattern &&
      (pattern.table !== null || (pattern.a[KILOHERTZ] ?? 1) > ONE_FRONT[0])
    )
      notes.fault(
        'OUT_OF_RANGE',
        [...path, 'stereo'],
        `crossed figure-8s, but the pattern is ${pattern.name}`,
        'pattern: figure-8, or stereo: {xy: 90}',
      );
  }
}

/** How far outside the softest and loudest dynamic of the catalogue a level may be before it is doubted, dB. */
const BEYOND_DYNAMICS = 10;

/** Levels that no such instrument plays: dB typed for something else, or a digit lost. */
function noteLevels({ resolved, context: { plan, air, notes } }: Subject): void {
  for (const { name, path, instrument, acoustics } of resolved) {
    const figures = acoustics?.figures;
    if (!acoustics?.measured || !figures || instrument === null) continue;
    const { power, directivity, radius } = acoustics;
    const { kind, steps } = figures.loudness;
    const at = figures.loudness.kind === 'level' ? figures.loudness : { at: 1, weighting: 'Z' as const };
    const level =
      kind === 'power'
        ? decibels(allBands(power))
        : levelOnAxis(power, { q: directivity.q, radius, airLoss: air.loss }, at.at, at.weighting);
    const [softest, loudest] = [
      Math.min(...DYNAMICS.map((one) => steps[one])),
      Math.max(...DYNAMICS.map((one) => steps[one])),
    ];
    const over = level > loudest ? level - loudest : level - softest;
    const section = plan.sources.get(name)?.section?.players ?? 1;
    const isOdd = level < softest - BEYOND_DYNAMICS || level > loudest + BEYOND_DYNAMICS + decibels(section);
    if (isOdd)
      notes.caution(
        path,
        `${name} is ${figure(Math.abs(over), 0)} dB ${over < 0 ? 'softer than a' : 'louder than any'} ${instrument} ${over < 0 ? 'ever plays' : 'plays'}`,
        'check the level and the distance it was read at',
      );
  }
}

/** An octave this far under the strongest of its instrument still counts as one in which it sounds, dB. */
const SOUNDS_IN = 10;

/** Octaves left out of a spectrum or a power are silent, whatever the instrument has there. */
function noteSilentOctaves({ resolved, context: { notes } }: Subject): void {
  for (const { name, path, instrument, acoustics } of resolved) {
    const usual = acoustics?.figures?.spectrum;
    if (!usual) continue;
    const least = Math.max(...usual) * energyOf(-SOUNDS_IN);
    const silent = NOMINAL_BANDS.filter(
      (_, band) => acoustics.power[band] === 0 && (usual[band] ?? 0) >= least,
    );
    if (silent.length > 0)
      notes.caution(
        path,
        `${name} is silent at ${allOf(silent.map(String))} Hz, where a ${instrument} sounds`,
        'give those octaves too',
      );
  }
}

/** A room of such a height, m, typed without `units` may be in feet: 8 ft are an ordinary ceiling. */
const FEET_HEIGHTS = [7, 14] as const;

function noteSizes({ scene: { rooms }, context: { plan, notes } }: Subject): void {
  for (const room of rooms) {
    const height = room.ceiling - room.floor;
    const [lowest, highest] = FEET_HEIGHTS;
    if (!plan.unitsGiven && !room.booth && height >= lowest && height <= highest)
      notes.caution(
        room.path,
        `${room.name} is ${figure(height, 1)} m high, since bare lengths count in metres`,
        'write units: ft if these are feet, units: m if they are metres',
      );
  }
}

/** Baffles up to here from one another were hardly meant to stay apart, m; closer than a pencil line they touch. */
export const NEARLY = 0.12;
export const AS_DRAWN = 2e-3;

function noteNearlyTouching({ scene: { panels }, context: { plan, notes } }: Subject): void {
  const { close } = lengthsIn(plan.units);
  const baffles = panels.filter(({ booth }) => booth === null);
  baffles.forEach((one, i) => {
    for (const other of baffles.slice(0, i)) {
      const gaps = [one.a, one.b, other.a, other.b].map((end, k) => {
        const { a, b } = k < 2 ? other : one;
        return geo.distanceToSegment(end, a, b);
      });
      const gap = Math.min(...gaps);
      if (gap > AS_DRAWN && gap <= NEARLY)
        notes.caution(
          one.path,
          `${one.name} and ${other.name} are ${close(gap)} apart: sound passes through the gap`,
          'give both ends the same point if they touch',
        );
    }
  });
}
