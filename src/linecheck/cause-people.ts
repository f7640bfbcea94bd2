/** Players, and what stands by itself, that face elsewhere than the plan says. */
import { type Stage, speakerOf } from '../acoustics/stage.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Capsule, Scene, Source, SourcePoint } from '../scene/scene.ts';
import { type Move, shareWithin } from '../scene/stays.ts';
import { turnOnPlan } from '../scene/turn.ts';
import { add, subtract, type Vec3 } from '../scene/vector.ts';
import { middleOf } from '../scene/voice.ts';
import type { Tried } from './cause.ts';
import { followers } from './followers.ts';
import { columnsOf, type Plain } from './plain-scene.ts';
import { predict } from './predict.ts';

const STEP = 15;

type Turner = { readonly name: string; readonly pivot: Vec3; readonly sources: readonly number[] };

/** In steps of 15° to 180°; `plan` says which microphones go by their source. */
export function* otherFacings(plain: Plain, plan: PlanData): Generator<Tried> {
  for (const turner of turnersOf(plain.scene)) {
    for (let degrees = STEP; degrees <= 180; degrees += STEP) {
      for (const toward of degrees === 180 ? (['right'] as const) : (['left', 'right'] as const)) {
        const how = { degrees, toward };
        for (const predicted of turned(plain, plan, turner, toward === 'right' ? degrees : -degrees))
          yield { cause: { kind: 'facing', about: [turner.name], how }, predicted };
      }
    }
  }
}

/** Sections, which are many points, do not turn as one. */
function turnersOf({ players, sources }: Scene): Turner[] {
  const own = players.map(({ name, at }, player) => ({
    name,
    pivot: at,
    sources: indices(sources, (source) => source.player === player && source.path[0] !== 'sources'),
  }));
  const alone = sources.flatMap(({ name, path, points }, i) =>
    path[0] === 'sources' && points.length === 1 ? [{ name, pivot: middleOf(points), sources: [i] }] : [],
  );
  return [...own, ...alone].filter((turner) => turner.sources.length > 0);
}

const indices = (sources: readonly Source[], holds: (source: Source) => boolean): number[] =>
  sources.flatMap((source, i) => (holds(source) ? [i] : []));

/** As microphones may follow in two ways; none where the instrument would go through a wall or a screen. */
function turned(plain: Plain, plan: PlanData, { pivot, sources }: Turner, degrees: number): Float64Array[] {
  const { scene } = plain;
  const move: Move = (at, share) => add(pivot, turnOnPlan(subtract(at, pivot), degrees * share));
  const points = sources.flatMap((i) => scene.sources[i]?.points ?? []);
  if (shareWithin(scene, points, move) < 1) return [];
  const around = new Map(sources.map((i) => [i, turnedSource(scene.sources[i] as Source, move, degrees)]));
  const { along, beside } = followers(scene, plan, around, { move, degrees });
  return (along.size === 0 ? [along] : [along, beside]).map((riding) => levelsWith(plain, around, riding));
}

function levelsWith(
  { stage, readings, predicted }: Plain,
  around: ReadonlyMap<number, Source>,
  riding: ReadonlyMap<number, Capsule>,
): Float64Array {
  const other = stageWith(stage, around, riding);
  const rows = [...readings.rows.keys()].filter((row) =>
    readings.rows[row]?.sources.some((i) => around.has(i)),
  );
  const byRow = predict(other, readings, { rows, base: predicted });
  return predict(other, readings, { columns: columnsOf(readings, riding), base: byRow });
}

const turnedSource = (source: Source, move: Move, degrees: number): Source => ({
  ...source,
  points: source.points.map(
    (point): SourcePoint => ({ ...point, at: move(point.at, 1), axis: turnOnPlan(point.axis, degrees) }),
  ),
});

function stageWith(
  stage: Stage,
  around: ReadonlyMap<number, Source>,
  riding: ReadonlyMap<number, Capsule>,
): Stage {
  const scene = {
    ...stage.scene,
    sources: stage.scene.sources.map((source, i) => around.get(i) ?? source),
    capsules: stage.scene.capsules.map((capsule, i) => riding.get(i) ?? capsule),
  };
  const speakers = stage.speakers.map((speaker, i) => {
    const source = around.get(i);
    return source ? speakerOf(source, stage) : speaker;
  });
  return { ...stage, scene, speakers };
}
