/** A path's named factors: recorded while it is computed when a recorder is passed, null in the hot loop. */
import { BAND_COUNT, type Bands, bands, energyOf, sameInAllBands } from '../acoustics/bands.ts';
import { gain, readAngleTable, spreading, waveRadiusSquared } from '../acoustics/directivity.ts';
import { firstOrder } from '../acoustics/pattern.ts';
import { distance, span, type Vec2, type Vec3 } from '../geometry.ts';
import { OUTSIDE, type Panel, type Partition } from '../scene/scene.ts';
import { throughAperture } from './aperture.ts';
import type { Barrier } from './barrier.ts';
import {
  type Barriers,
  barrierTransmission,
  type Leg,
  partsOn,
  setBarrier,
  type Workspace,
} from './barrier-diffraction.ts';
import { pathRoundCorners } from './corner.ts';
import { setStraight } from './diffraction-path.ts';
import { surfaceAlpha } from './diffuse-field.ts';
import { BAND_SIZE, edgeEnergy } from './edge-diffraction.ts';
import { fromWall, type RoomShape } from './image-sources.ts';
import { inFront, type PreparedPanel } from './panel.ts';
import { type EdgePath, type PanelWorkspace, sumPastPanel } from './panel-diffraction.ts';
import { panelImage } from './panel-view.ts';
import type { SoundPath } from './path-energy.ts';
import type { Obstacles, PreparedScene } from './prepared-scene.ts';
import { panelReflectionFactor } from './reflections.ts';
import { cosineOf, type Link } from './source-receiver.ts';
import { partitionBetween } from './wall-crossing.ts';

// Tells a way: what its source, its microphone and all that it meets give and take.
/** `path` holds its energies before covers. */
export function tellWay(between: Between, path: SoundPath): Told {
  switch (path.kind) {
    case 'direct':
      return direct(between, path);
    case 'bent':
      return bent(between);
    case 'surface':
      return offSurface(between, path);
    case 'mirror':
      return reflectOffPanel(between, path);
    case 'field':
      return field(between);
    case 'through':
      return throughElement(between, path);
    case 'opening':
      return throughHole(between, path);
  }
}

/** Several screens combine by their order of depth, so that their whole is taken from the way itself. */
function direct({ prepared, link }: Between, path: SoundPath): Told {
  const { emitter, capsule } = link;
  const { barriers } = obstaclesIn(prepared, capsule.room);
  const course = straightCourse(path);
  const found = barriers ? met('whole', traceScreens(barriers, emitter.at, capsule.at)) : [];
  const whole = factor('screens', (band) => (path.energy[band] as number) / (path.free[band] as number));
  return told([...freeFactors(link, course), ...(found.length > 0 ? [whole] : [])], {
    course,
    barriers: found,
  });
}

/** `4·x·(1−α₁)(1−ᾱ)·REE` in the source's own room, `4·x·REE` in another. */
function field({ prepared, link, firstSurfaceAlpha }: Between): Told {
  const { emitter, capsule } = link;
  const rooms = prepared.absorptions.length;
  const mean = prepared.absorptions[capsule.room]?.mean;
  const perPower = (band: number) =>
    prepared.fields[(band * rooms + capsule.room) * rooms + emitter.room] as number;
  const own = capsule.room === emitter.room;
  const hits = [
    factor('first-hit', (band) => 1 - (firstSurfaceAlpha[band] as number)),
    factor('further-hits', (band) => 1 - (mean?.[band] as number)),
  ];
  const factors: Factor[] = [
    { kind: 'power', by: emitter.power },
    factor('field', (band) => 4 * perPower(band)),
    ...(own ? hits : []),
    { kind: 'random', by: capsule.ree },
  ];
  return told(factors, { of: prepared.scene.rooms[capsule.room]?.name ?? null });
}

// Tells a way from one room into the next: straight through the wall or what is set in it, or through what stands open.

/** The straight line through a wall, roof, door or window. */
function throughElement(between: Between, path: SoundPath): Told {
  const { prepared, link } = between;
  const { emitter, capsule } = link;
  const { wallCrossing } = partitionBetween(prepared.scene, emitter, capsule);
  if (!wallCrossing?.tau) throw new Error('a way through a wall that is not there');
  const { tau, at } = wallCrossing;
  const part = distance(emitter.at, at) / distance(emitter.at, capsule.at);
  const barriers = inBothRooms(between, Math.min(1, part));
  const course = straightCourse(path);
  const wall = factor('wall', (band) => tau[band] as number);
  return told([...freeFactors(link, course), wall, ...screenFactors(barriers)], {
    by: path.element,
    of: wallCrossing.partition.name,
    course,
    barriers,
  });
}

/** Through an opening, seen or missed by the straight line. */
function throughHole(between: Between, path: SoundPath): Told {
  const { prepared, link } = between;
  const { emitter, capsule, way } = link;
  const { workspace } = obstaclesIn(prepared, capsule.room);
  const { partition, ready } = openingNamed(between, path.element);
  const passed = path.free.slice();
  throughAperture(passed, workspace, ready, { source: emitter.at, mic: capsule.at, way });
  const edges = edgesOf(workspace, [ready], emitter.at);
  const near = inFront(ready, emitter.at);
  const barriers = inBothRooms(between, near / (near - inFront(ready, capsule.at)));
  const course = straightCourse(path);
  const hole = factor('opening', (band) => (passed[band] as number) / (path.free[band] as number));
  return told([...freeFactors(link, course), hole, ...screenFactors(barriers)], {
    by: path.element,
    of: partition.name,
    course,
    barriers,
    edges,
  });
}

function openingNamed(
  { prepared, link }: Between,
  name: string,
): { readonly partition: Partition; readonly ready: PreparedPanel } {
  const rooms = [link.emitter.room, link.capsule.room];
  const partition = prepared.scene.partitions.find((one) => rooms.every((room) => one.rooms.includes(room)));
  const element = partition?.elements.find((one) => one.free && one.name === name);
  const ready = element && prepared.openings.get(element);
  if (!partition || !ready) throw new Error('a way through an opening that is not there');
  return { partition, ready };
}

/** Panels of either room on the line, which leaves the first at this share of its length; a booth's own walls are left out. */
function inBothRooms({ prepared, link }: Between, part: number): Met[] {
  const { emitter, capsule } = link;
  const line = { source: emitter.at, mic: capsule.at, except: null };
  const toward = (room: number, next: number) => {
    const obstacles = obstaclesIn(prepared, room);
    return obstacles.toward.get(next) ?? obstacles.barriers;
  };
  const before = toward(emitter.room, capsule.room);
  const after = toward(capsule.room, emitter.room);
  return [
    ...(before ? met('before', traceLeg(before, { ...line, from: 0, to: part })) : []),
    ...(after ? met('after', traceLeg(after, { ...line, from: part, to: 1 })) : []),
  ];
}

// Tells first reflections: off floor, ceiling and walls, and off panels.

function offSurface({ prepared, link }: Between, path: SoundPath): Told {
  const { emitter, capsule } = link;
  const { barriers } = obstaclesIn(prepared, capsule.room);
  const shape = prepared.shapes[capsule.room] as RoomShape;
  const alpha = surfaceAlpha(
    prepared.absorptions[capsule.room] as PreparedScene['absorptions'][number],
    path.surface,
  );
  const reflector = (at: Vec3): Vec3 => viewsFromSurfaceImage(shape, path.surface, at);
  const near = heightAbove(shape, path.surface, emitter.at);
  const along = near / (near + heightAbove(shape, path.surface, capsule.at));
  const ends = {
    source: emitter.at,
    beyond: reflector(capsule.at),
    image: reflector(emitter.at),
    mic: capsule.at,
  };
  const found = barriers ? onBothLegs(barriers, ends, along, null) : [];
  const course = straightCourse(path);
  const taken = factor('surface', (band) => 1 - (alpha[band] as number));
  const room = prepared.scene.rooms[capsule.room];
  return told([...freeFactors(link, course), taken, ...screenFactors(found)], {
    by: room?.surfaces[path.surface]?.name ?? null,
    of: room?.name ?? null,
    course,
    barriers: found,
  });
}

/** Distance from floor, ceiling or wall, into the room. */
function heightAbove(shape: RoomShape, surface: number, at: Vec3): number {
  if (surface === 0) return at[2] - shape.floor;
  if (surface === 1) return shape.ceiling - at[2];
  return fromWall(at, shape.walls[surface - 2] as RoomShape['walls'][number]);
}

function viewsFromSurfaceImage(shape: RoomShape, surface: number, at: Vec3): Vec3 {
  const twice = 2 * heightAbove(shape, surface, at);
  if (surface < 2) return [at[0], at[1], surface === 0 ? at[2] - twice : at[2] + twice];
  const { inX, inY } = shape.walls[surface - 2] as RoomShape['walls'][number];
  return [at[0] - twice * inX, at[1] - twice * inY, at[2]];
}

function reflectOffPanel({ prepared, link }: Between, path: SoundPath): Told {
  const { emitter, capsule } = link;
  const { barriers } = obstaclesIn(prepared, capsule.room);
  const except = path.panel as Panel;
  const ready = barriers?.reflectors.find(({ panel }) => panel === except);
  if (!barriers || !ready) throw new Error('a reflection off a panel that is not there');
  const image: [number, number, number] = [0, 0, 0];
  const beyond: [number, number, number] = [0, 0, 0];
  const caught = path.free.slice();
  const along = panelReflectionFactor(caught, image, barriers.workspace, ready, [emitter.at, capsule.at]);
  panelImage(beyond, ready, capsule.at);
  const found = onBothLegs(barriers, { source: emitter.at, beyond, image, mic: capsule.at }, along, except);
  const course = straightCourse(path);
  const face = (band: number) => (1 - (ready.alpha[band] as number)) * (1 - (ready.tau[band] as number));
  const size = factor('size', (band) => (caught[band] as number) / face(band));
  return told([...freeFactors(link, course), factor('face', face), size, ...screenFactors(found)], {
    by: except.name,
    course,
    barriers: found,
  });
}

type Ends = { readonly source: Vec3; readonly beyond: Vec3; readonly image: Vec3; readonly mic: Vec3 };

/** From the source toward the mic's image, `beyond`, up to the reflection, and on from the source's image to the mic. */
function onBothLegs(barriers: Barriers, ends: Ends, along: number, except: Panel | null): Met[] {
  const { source, beyond, image, mic } = ends;
  return [
    ...met('before', traceLeg(barriers, { source, mic: beyond, from: 0, to: along, except })),
    ...met('after', traceLeg(barriers, { source: image, mic, from: along, to: 1, except })),
  ];
}

// Tells the direct way where it bends round inner corners of the room.

function bent({ prepared, link }: Between): Told {
  const { emitter, capsule, way } = link;
  const { corners, barriers, workspace } = obstaclesIn(prepared, capsule.room);
  const [side] = workspace.sides;
  const ends = { source: emitter.at, mic: capsule.at, way };
  const bends = corners && pathRoundCorners(side.free.slice(), workspace, corners, ends);
  if (!bends) throw new Error('a bent way without a bend');
  const course = {
    cosLeave: cosineOf(emitter.axis, side.leave),
    cosArrive: -cosineOf(capsule.aim, side.arrive),
    spread: workspace.straight.whole,
    travelled: side.whole,
  };
  const wave = factor('corners', (band) => edgeEnergy(side.wave, band * BAND_SIZE));
  const found = barriers
    ? legsOf(emitter.at, bends, capsule.at).flatMap((leg) => met('whole', traceLeg(barriers, leg)))
    : [];
  return told([...freeFactors(link, course), wave, ...screenFactors(found)], { course, barriers: found });
}

/** The straight stretches of a bent way, which rises evenly from its start to its end. */
function legsOf(from: Vec3, bends: readonly Vec2[], to: Vec3) {
  const stops = [from, ...bends, to];
  const gone = [0];
  stops.slice(1).forEach((stop, i) => {
    const before = stops[i] as Vec2 | Vec3;
    gone.push((gone[i] as number) + span(stop, before));
  });
  const whole = gone.at(-1) as number;
  const raised = stops.map(
    (stop, i): Vec3 => [stop[0], stop[1], from[2] + ((to[2] - from[2]) * (gone[i] as number)) / whole],
  );
  return raised.slice(1).map((mic, i) => ({ ...WHOLE, source: raised[i] as Vec3, mic }));
}

const WHOLE = { from: 0, to: 1, except: null } as const;

// A way told: what it meets, and what each thing on it gives or takes.

/** One point of a source with a capsule. `firstSurfaceAlpha` is its α₁ by band. */
export type Between = {
  readonly prepared: PreparedScene;
  readonly link: Link;
  readonly firstSurfaceAlpha: Bands;
};

/** A screen met on the whole of a way, or on its stretch before or after a reflection or wall. */
export type Met = ScreenTrace & { readonly where: 'whole' | 'before' | 'after' };

const met = (where: Met['where'], traces: readonly ScreenTrace[]): Met[] =>
  traces.map((trace) => ({ ...trace, where }));

export type Told = {
  /** Surface, panel or element, and the partition or room that it belongs to. */
  readonly by: string | null;
  readonly of: string | null;
  /** Null for a field. */
  readonly course: Course | null;
  readonly factors: readonly Factor[];
  readonly barriers: readonly Met[];
  /** Of an opening. */
  readonly edges: readonly EdgeTrace[];
};

const told = (factors: readonly Factor[], more: Partial<Told> = {}): Told => ({
  by: null,
  of: null,
  course: null,
  barriers: [],
  edges: [],
  ...more,
  factors,
});

const straightCourse = ({ cosLeave, cosArrive, length }: SoundPath): Course => ({
  cosLeave,
  cosArrive,
  spread: length,
  travelled: length,
});

/** What all screens leave of a way on which each acts by its share alone. */
const screenFactors = (barriers: readonly ScreenTrace[]): Factor[] => {
  const loss = (band: number) => barriers.reduce((sum, one) => sum + (one.loss[band] as number), 0);
  return barriers.length > 0 ? [factor('screens', (band) => energyOf(-loss(band)))] : [];
};

/** Screens and corners of a room, or of the open. */
const obstaclesIn = ({ obstacles, shapes }: PreparedScene, room: number): Obstacles =>
  obstacles[room === OUTSIDE ? shapes.length : room] as Obstacles;

// What each screen does to one pair, in full: for telling why.

export type EdgeTrace = {
  readonly side: 'left' | 'right' | 'top' | 'bottom';
  /** The straight line passes outside this side. */
  readonly clear: boolean;
  /** How much longer the way is than the straight line, m. */
  readonly detour: number;
  /** Level of the edge wave below the free direct sound, dB by band. */
  readonly loss: Bands;
};

type ScreenTrace = {
  readonly panels: readonly string[];
  /** Share of the way from source to mic at which the line meets it. */
  readonly at: number;
  readonly tau: Bands;
  /** Energy past the edges over the free direct energy, without transmission and directions. */
  readonly past: Bands;
  /** `−10·lg(τ + (1−τ)·min(1, past))`, dB by band. */
  readonly loss: Bands;
  readonly edges: readonly EdgeTrace[];
};

/** Every screen that acts between the two; left and right are as one looks from the source to the mic. */
export const traceScreens = (barriers: Barriers, source: Vec3, mic: Vec3): ScreenTrace[] =>
  traceLeg(barriers, { source, mic, from: 0, to: 1, except: null });

/** Every screen that acts on a stretch of a straight line, as on a leg of a reflected way. */
export function traceLeg(barriers: Barriers, leg: Leg): ScreenTrace[] {
  const { workspace } = barriers;
  setStraight(workspace, leg.source, leg.mic);
  return barriers.list.flatMap((barrier) => {
    const [first, ...others] = [barrier, ...partsOn(barrier, leg)].flatMap((one) =>
      setBarrier(workspace, one, leg) ? [traced(workspace, one, leg.source)] : [],
    );
    for (const other of others) lower(first as ScreenTrace, other);
    return first ? [first] : [];
  });
}

/** By band what lets least through of a screen and its straight parts; the edges told stay those of the whole. */
function lower({ past, tau, loss }: ScreenTrace, part: ScreenTrace): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    if ((part.loss[band] as number) <= (loss[band] as number)) continue;
    past[band] = part.past[band] as number;
    tau[band] = part.tau[band] as number;
    loss[band] = part.loss[band] as number;
  }
}

function traced(workspace: Workspace, barrier: Barrier, source: Vec3): ScreenTrace {
  sumPastPanel(workspace);
  const past = workspace.past.map((value) => Math.max(0, value));
  const tau = workspace.tau.slice();
  return {
    panels: barrier.panels.map(({ panel }) => panel.name),
    at: workspace.at,
    tau,
    past,
    loss: bands((band) => {
      const left = barrierTransmission(tau[band] as number, past[band] as number);
      return -10 * Math.log10(Math.max(left, 1e-30));
    }),
    edges: edgesOf(workspace, barrier.panels, source),
  };
}

/** The ways round, as last set in the pass: those of a screen's panels, or of an opening's outline alone. */
function edgesOf(workspace: PanelWorkspace, panels: readonly PreparedPanel[], source: Vec3): EdgeTrace[] {
  // A single panel's sides are its ends a and b: a is on the left of whoever has the panel's front before him.
  const [first] = panels;
  const turned =
    panels.length === 1 && first !== undefined
      ? first.along[0] * (source[1] - first.a[1]) - first.along[1] * (source[0] - first.a[0]) > 0
      : false;
  const named: readonly (readonly [EdgeTrace['side'], EdgePath])[] = [
    [turned ? 'right' : 'left', workspace.sides[0]],
    [turned ? 'left' : 'right', workspace.sides[1]],
    ['top', workspace.caps[0]],
    ['bottom', workspace.caps[1]],
  ];
  return named.filter(([, edgePath]) => edgePath.there).map(([side, edgePath]) => traceEdge(side, edgePath));
}

function traceEdge(side: EdgeTrace['side'], edgePath: EdgePath): EdgeTrace {
  const loss = bands(
    (band) => -10 * Math.log10(Math.max(edgeEnergy(edgePath.wave, band * BAND_SIZE), 1e-30)),
  );
  return { side, clear: edgePath.clear, detour: edgePath.detour, loss };
}

// Gains and losses along a way, as energy factors by band, in the order in which they act.

/** In the order in which they stand along a way. */
export const GAIN_KINDS = [
  'strength', // sound power as it goes out on the source's axis
  'power', // all of the sound power, for a field
  'spreading',
  'directivity',
  'air',
  'surface', // floor, ceiling or wall
  'face', // what a panel's face throws back
  'size', // how much of the sound a panel of its size catches
  'corners', // bent round inner corners of the room
  'wall', // through a wall, door or window
  'opening',
  'screens',
  'field', // what the room makes of the power
  'first-hit', // lost at the first surface
  'further-hits', // lost at the second
  'response', // microphone, toward where the sound comes from
  'random', // microphone, all round
  'cover',
] as const;

export type GainKind = (typeof GAIN_KINDS)[number];

export type Factor = { readonly kind: GainKind; readonly by: Bands };

/** What a line leaves and arrives by: cosines off the axis and off the aim, and the lengths that count. */
export type Course = {
  readonly cosLeave: number;
  readonly cosArrive: number;
  /** Sets spreading and proximity, m. */
  readonly spread: number;
  /** Sets the air's loss, m. */
  readonly travelled: number;
};

/** `p² = W·Q·G·E(r)/(4π)·air·D²`, factor by factor. */
function freeFactors({ emitter, capsule, medium }: Link, course: Course): Factor[] {
  const { cosLeave, cosArrive, spread, travelled } = course;
  const { table, a } = capsule.pattern;
  const near = capsule.proximity ? 1 / waveRadiusSquared(emitter.radius, spread) : 0;
  const at = (values: Bands, band: number): number => values[band] as number;
  return [
    { kind: 'strength', by: emitter.strength },
    { kind: 'spreading', by: sameInAllBands(spreading(emitter.radius, spread)) },
    { kind: 'directivity', by: bands((band) => gain(emitter.directivity, band, cosLeave)) },
    { kind: 'air', by: bands((band) => Math.exp(-at(medium.m, band) * travelled)) },
    {
      kind: 'response',
      by: bands((band) =>
        table
          ? readAngleTable(table, band, cosArrive)
          : firstOrder(
              at(a, band),
              at(capsule.nullFloor, band),
              cosArrive,
              near * at(medium.inverseK2, band),
            ),
      ),
    },
  ];
}

export const factor = (kind: GainKind, by: (band: number) => number): Factor => ({ kind, by: bands(by) });

export const inOrder = (factors: readonly Factor[]): Factor[] =>
  [...factors].sort((a, b) => GAIN_KINDS.indexOf(a.kind) - GAIN_KINDS.indexOf(b.kind));
