/** Players, and what stands by itself, that face elsewhere than the plan says. */
import { type Stage, speakerOf } from '../acoustics/stage.ts';
import type { Capsule, Scene, Source, SourcePoint } from '../scene/scene.ts';
import { shareWithin } from '../scene/stays.ts';
import { CLOSE } from '../scene/tolerance.ts';
import { turnOnPlan } from '../scene/turn.ts';
import { add, distance, subtract, type Vec3 } from '../scene/vector.ts';
import { middleOf } from '../scene/voice.ts';
import type { Tried } from './cause.ts';
import { columnsOf, type Plain } from './plain-scene.ts';
import { predict } from './predict.ts';

const STEP = 15;

type Turner = { readonly name: string; readonly pivot: Vec3; readonly sources: readonly number[] };

/**
 * In steps of 15° to 180°. Close microphones go where the instrument goes; they either turn with it, as a stand does that was
 * set by the player, or keep their side of it.
 */
export function* otherFacings(plain: Plain): Generator<Tried> {
  for (const turner of turnersOf(plain.scene)) {
    for (let degrees = STEP; degrees <= 180; degrees += STEP) {
      for (const toward of degrees === 180 ? (['right'] as const) : (['left', 'right'] as const)) {
        const how = { degrees, toward };
        for (const predicted of turned(plain, turner, toward === 'right' ? degrees : -degrees))
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

/** With close mics turned along, and with them not; none where the instrument would go through a wall or a screen. */
function turned(plain: Plain, { pivot, sources }: Turner, degrees: number): Float64Array[] {
  const { scene } = plain;
  const move = (at: Vec3, share: number) => add(pivot, turnOnPlan(subtract(at, pivot), degrees * share));
  const points = sources.flatMap((i) => scene.sources[i]?.points ?? []);
  if (shareWithin(scene, points, move) < 1) return [];
  const around = new Map(sources.map((i) => [i, turnedSource(scene.sources[i] as Source, move, degrees)]));
  const close = closeCapsules(scene, around);
  const along = close.map(
    ({ i, capsule }) =>
      [i, { ...capsule, at: move(capsule.at, 1), aim: turnOnPlan(capsule.aim, degrees) }] as const,
  );
  const beside = close.map(({ i, capsule, step }) => [i, { ...capsule, at: add(capsule.at, step) }] as const);
  return (close.length === 0 ? [along] : [along, beside]).map((riding) =>
    levelsWith(plain, around, new Map(riding)),
  );
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

const turnedSource = (source: Source, move: (at: Vec3, share: number) => Vec3, degrees: number): Source => ({
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

type Close = { readonly i: number; readonly capsule: Capsule; readonly step: Vec3 };

/** Microphones that stand close to a turned source that they are for, with the step that it makes. */
function closeCapsules({ mics, capsules, sources }: Scene, around: ReadonlyMap<number, Source>): Close[] {
  return mics.flatMap((mic): Close[] => {
    const own = mic.capsules.map((i) => ({ i, capsule: capsules[i] as Capsule }));
    const heard = mic.wanted.map((i) => ({ i, at: middleOf(sources[i]?.points ?? []) }));
    const away = ({ at }: { at: Vec3 }) => Math.min(...own.map(({ capsule }) => distance(capsule.at, at)));
    const [nearest] = heard.sort((a, b) => away(a) - away(b));
    const now = nearest && around.get(nearest.i);
    if (mic.purpose !== 'parts' || !nearest || !now || away(nearest) >= CLOSE) return [];
    const step = subtract(middleOf(now.points), nearest.at);
    return own.map((one) => ({ ...one, step }));
  });
}
