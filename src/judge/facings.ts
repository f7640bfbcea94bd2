/** Verdicts that rest on where somebody faces whom the plan does not say it of: turned another way, the verdict is another. */
import { KILOHERTZ } from '../acoustics/bands.ts';
import { gain } from '../acoustics/directivity.ts';
import type { PlanData } from '../plan/plan.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene, Source } from '../scene/scene.ts';
import { incrementalTransfer } from '../transfer/incremental.ts';
import { contextOf, keyOf, type LimitMargins, type MarginRow, marginsOf } from './criteria.ts';
import type { Session } from './session.ts';
import { verdictOf } from './verdict.ts';

export type GuessedFacing = Pick<MarginRow, 'kind' | 'about'> & {
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

/** Of each limit the first that would turn its verdict, in the order of the limits. */
export function guessedFacings(session: Session): GuessedFacing[] {
  const unsaid = withoutFacing(session);
  if (unsaid.length === 0) return [];
  const { scene, result } = session;
  const before = marginsOf(contextOf(scene, result), null);
  const found = unsaid.flatMap((who) =>
    BEARINGS.flatMap((facing) =>
      turned(before, marginsAt(session, who, facing)).map((row) => ({ ...row, who, facing })),
    ),
  );
  return before.rows.flatMap((row) => found.find((one) => keyOf(one) === keyOf(row)) ?? []);
}

/** Limits met in one and missed in the other, as in the other. */
function turned(before: LimitMargins, after: LimitMargins): MarginRow[] {
  const was = new Map(before.rows.map((row) => [keyOf(row), isMet(row)]));
  return after.rows.filter((row) => was.has(keyOf(row)) && was.get(keyOf(row)) !== isMet(row));
}

const isMet = ({ margin }: MarginRow): boolean => verdictOf(margin) !== 'short';

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

/** Margins with somebody facing another way; none where that cannot be. */
function marginsAt(
  { plan, catalogue, scene, result, lay }: Session,
  who: string,
  facing: number,
): LimitMargins {
  const resolved = resolve(facingIn(plan, who, facing), catalogue).scene;
  if (!resolved) return { rows: [], worst: null, shortfall: 0 };
  const changed: Scene = lay ? lay(resolved) : resolved;
  return marginsOf(contextOf(changed, incrementalTransfer({ scene, result }, changed)), null);
}

function facingIn(plan: PlanData, who: string, bearing: number): PlanData {
  const turnedIn = <T extends object>(all: ReadonlyMap<string, T>): ReadonlyMap<string, T> => {
    const entry = all.get(who);
    return entry ? new Map([...all, [who, { ...entry, facing: { bearing } }]]) : all;
  };
  return { ...plan, players: turnedIn(plan.players), sources: turnedIn(plan.sources) };
}
