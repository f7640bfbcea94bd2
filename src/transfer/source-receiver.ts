/** A source point with a capsule: how every path between them starts, and the working memory of computing it. */
import { sameInAllBands } from '../acoustics/bands.ts';
import type { Barriers, Workspace } from './barrier-diffraction.ts';
import { newReflection, type Reflection } from './image-sources.ts';
import { type PanelView, type Point, panelViewOf, setPoint } from './panel-view.ts';
import type { Between, PathEnergy, PathKind, Share, SoundPath } from './path-energy.ts';
import { freeFactors, newPath, pathEnergy, ROWS } from './path-energy.ts';

/** Set anew for each pair: the innermost loop allocates nothing. */
export type SourceReceiver = { -readonly [Key in keyof Between]: Between[Key] } & {
  /** What both ends see of the barriers of their room, and their images do: set where they share a room with barriers. */
  sourceView: PanelView | null;
  micView: PanelView | null;
  /** The current path, and where it is reflected. */
  readonly path: SoundPath;
  readonly reflection: Reflection;
  /** The source's image in the current panel. */
  readonly image: Point;
  readonly workspace: Workspace;
  readonly pathEnergy: PathEnergy;
};

export function newSourceReceiver(between: Between, workspace: Workspace): SourceReceiver {
  const pair: SourceReceiver = {
    ...between,
    sourceView: null,
    micView: null,
    path: newPath(),
    reflection: newReflection(),
    image: [0, 0, 0],
    workspace,
    pathEnergy: (path, leave, arrive, spread, length) => {
      path.cosLeave = cosineOf(pair.emitter.axis, leave);
      path.cosArrive = -cosineOf(arrive, pair.capsule.aim);
      path.spread = spread;
      path.length = length;
      pathEnergy(path, pair);
    },
  };
  return pair;
}

/** What the source sees of the panels of its room, with all its images. */
export const sourceViews = (barriers: Barriers, { sourceView, emitter }: SourceReceiver): Float64Array =>
  (sourceView ?? panelViewOf(barriers, emitter.at, true)).views;

/** What the mic sees of them. */
export const micViews = (barriers: Barriers, { micView, capsule }: SourceReceiver): Float64Array =>
  (micView ?? panelViewOf(barriers, capsule.at, true)).views;

type Direction = readonly [number, number, number];
export const cosineOf = (a: Direction, b: Direction): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Starts a path of its kind: nothing met on it yet. */
export function startPath({ path, workspace }: SourceReceiver, kind: PathKind, share: Share): void {
  path.kind = kind;
  path.share = share;
  path.row = ROWS[share];
  path.surface = -1;
  path.panel = null;
  path.element = '';
  path.partition = '';
  path.length = 0;
  path.spread = 0;
  const { record } = workspace;
  if (!record) return;
  record.course = null;
  record.factors = [];
  record.barriers = [];
  record.edges = [];
}

/** Starts a path of one length for spreading and air that leaves and arrives as `path.leave` and `path.arrive` say. */
export function startFreePath(pair: SourceReceiver, kind: PathKind, share: Share, length: number): void {
  const { path } = pair;
  startPath(pair, kind, share);
  pair.pathEnergy(path, path.leave, path.arrive, length, length);
  recordFree(pair);
}

/** Starts the straight path between both. Closer than 1 nm they count as so far apart. */
export function startStraightPath(pair: SourceReceiver, kind: PathKind, share: Share): void {
  const { emitter, capsule, path } = pair;
  const dx = capsule.at[0] - emitter.at[0];
  const dy = capsule.at[1] - emitter.at[1];
  const dz = capsule.at[2] - emitter.at[2];
  const length = Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz), 1e-9);
  setPoint(path.leave, dx / length, dy / length, dz / length);
  setPoint(path.arrive, dx / length, dy / length, dz / length);
  startFreePath(pair, kind, share, length);
}

/** Records the course and free factors of the current path, or of an edge path in its place. */
export function recordFree(pair: SourceReceiver, of: Parameters<PathEnergy>[0] = pair.path): void {
  const { record } = pair.workspace;
  if (!record) return;
  record.course = { cosLeave: of.cosLeave, cosArrive: of.cosArrive, spread: of.spread, length: of.length };
  record.factors = freeFactors(of, pair);
}

export const UNHINDERED = sameInAllBands(1);
