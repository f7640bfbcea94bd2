/** A scene as it may turn out on the day: everything somewhat off, within the bounds of the tolerance. */
import { bands, energyOf } from '../acoustics/bands.ts';
import { efficiencyByBand, nullFloor } from '../acoustics/pattern.ts';
import type { Luck } from './luck.ts';
import type { Capsule, Scene, Source } from './scene.ts';
import { varyBuilding } from './vary-building.ts';
import { moveMics } from './vary-mics.ts';
import { movePeople } from './vary-people.ts';

/** Rolls in an order that depends on the scene alone, so that one seed moves the same things alike whichever causes rest. */
export function vary(scene: Scene, luck: Luck): Scene {
  const moved = movePeople(scene, luck);
  const capsules = moveMics(scene, moved.sources, luck).map((capsule) => withNull(scene, capsule, luck));
  const sources = withLevels(scene, moved.sources, luck);
  return { ...scene, ...varyBuilding(scene, luck), players: moved.players, sources, capsules };
}

/** The pieces of a kit go up and down together: one drummer plays them. */
function withLevels({ tolerance }: Scene, sources: readonly Source[], { roll }: Luck): Source[] {
  const kits = new Map<string, number>();
  return sources.map((source) => {
    const known = source.kit === null ? undefined : kits.get(source.kit);
    const luck = known ?? roll('level');
    if (source.kit !== null) kits.set(source.kit, luck);
    const factor = energyOf(luck * boundOf(source, tolerance));
    return factor === 1 ? source : { ...source, power: source.power.map((power) => power * factor) };
  });
}

const boundOf = ({ read, measured }: Source, { level, guessedLevel }: Scene['tolerance']): number =>
  read?.within ?? (measured ? level : guessedLevel);

/** One luck for all bands of a capsule: a shallow null is shallow throughout. A depth that the plan gives stays. */
function withNull({ tolerance }: Scene, capsule: Capsule, { roll, rests }: Luck): Capsule {
  const luck = (roll('null-depth') + 1) / 2;
  if (!capsule.usualNull || rests('null-depth')) return capsule;
  const { from, to } = tolerance.nullDepth;
  const { pattern } = capsule;
  const floor = bands((band) => {
    const shallowest = from[band] as number;
    return nullFloor(shallowest + luck * ((to[band] as number) - shallowest));
  });
  return { ...capsule, nullFloor: floor, ree: efficiencyByBand(pattern.a, pattern.table, floor) };
}
