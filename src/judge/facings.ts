/** Verdicts that rest on where somebody faces whom the plan does not say it of: turned another way, the verdict is another. */
import { KILOHERTZ } from '../acoustics/bands.ts';
import { gain } from '../acoustics/directivity.ts';
import type { PlanData } from '../plan/plan.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene, Source } from '../scene/scene.ts';
import { incrementalTransfer } from '../transfer/incremental.ts';
import type { Criterion } from './criteria.ts';
import { marginsBy, readableOf, turnedMargin } from './guesses.ts';
import type { Session } from './session.ts';

export type GuessedFacing = Pick<Criterion, 'kind' | 'about'> & {
  /** The player or source whose facing is assumed. */
  readonly who: string;
  /** A bearing at which the verdict would be another, degrees. */
  readonly facing: number;
  /** The margin that it would then have, dB. */
  readonly margin: number;
};

/** Beside the assumed 0°. */
const BEARINGS = [90, 180, 270] as const;
/** What radiates less than this share of its front to its back at 2 kHz is directive: 6 dB. */
const DIRECTIVE = 0.25;

/** Of each limit judged by levels the first facing that would turn its verdict, in the order of the limits. */
export function guessedFacings(session: Session): GuessedFacing[] {
  const unsaid = withoutFacing(session);
  if (unsaid.length === 0) return [];
  const { scene, result, report } = session;
  const limits = report.criteria.filter(({ role }) => role === 'limit');
  const readable = readableOf(limits);
  const before = marginsBy(readable, scene, result);
  const trials = unsaid.flatMap((who) =>
    BEARINGS.flatMap((facing) => {
      const turned = sceneWith(session, who, facing);
      const known = turned && incrementalTransfer(session, turned);
      return known ? [{ who, facing, after: marginsBy(readable, turned, known) }] : [];
    }),
  );
  return limits.flatMap((row) => {
    const { kind, about } = row;
    const found = trials.flatMap(({ who, facing, after }) => {
      const margin = turnedMargin(row, before, after);
      return margin === null ? [] : [{ kind, about, who, facing, margin }];
    });
    return found.slice(0, 1);
  });
}

/** Players and sources without a `facing` that sound to one side more than to the other. */
function withoutFacing({ plan, scene }: Session): string[] {
  const isHeard = (own: (source: Source) => boolean) =>
    scene.sources.some((source) => own(source) && source.points.length > 0 && isDirective(source));
  const indexOf = (player: string) => scene.players.findIndex(({ name }) => name === player);
  const players = [...plan.players].filter(
    ([name, { facing }]) =>
      !facing && isHeard(({ player, path }) => path[0] === 'players' && player === indexOf(name)),
  );
  const sources = [...plan.sources].filter(
    ([name, { facing }]) => !facing && isHeard((source) => source.name === name),
  );
  return [...players, ...sources].map(([name]) => name);
}

const isDirective = ({ directivity }: Source): boolean => gain(directivity, KILOHERTZ + 1, -1) < DIRECTIVE;

/** The scene with somebody facing another way; null where that cannot be. */
function sceneWith({ plan, catalogue, lay }: Session, who: string, facing: number): Scene | null {
  const { scene } = resolve(facingIn(plan, who, facing), catalogue);
  return scene && lay ? lay(scene) : scene;
}

function facingIn(plan: PlanData, who: string, bearing: number): PlanData {
  const turnedIn = <T extends object>(all: ReadonlyMap<string, T>): ReadonlyMap<string, T> => {
    const entry = all.get(who);
    return entry ? new Map([...all, [who, { ...entry, facing: { bearing } }]]) : all;
  };
  return { ...plan, players: turnedIn(plan.players), sources: turnedIn(plan.sources) };
}
