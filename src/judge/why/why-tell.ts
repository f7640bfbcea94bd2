/** Tells a way: what its source, its microphone and all that it meets give and take. */
import type { SoundPath } from '../../acoustics/path.ts';
import { traceScreens } from '../../acoustics/screen-trace.ts';
import { bent } from './why-bent.ts';
import { type Factor, factor, freeFactors } from './why-gains.ts';
import { offPanel, offSurface } from './why-reflected.ts';
import { aroundOf, type Between, met, straightCourse, type Told, told } from './why-told.ts';
import { throughElement, throughHole } from './why-walls.ts';

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
      return offPanel(between, path);
    case 'field':
      return field(between);
    case 'through':
      return throughElement(between, path);
    case 'opening':
      return throughHole(between, path);
  }
}

/** Several screens combine by their order of depth, so that their whole is taken from the way itself. */
function direct({ stage, link }: Between, path: SoundPath): Told {
  const { emitter, capsule } = link;
  const { screens } = aroundOf(stage, capsule.room);
  const course = straightCourse(path);
  const found = screens ? met('whole', traceScreens(screens, emitter.at, capsule.at)) : [];
  const whole = factor('screens', (band) => (path.energy[band] as number) / (path.free[band] as number));
  return told([...freeFactors(link, course), ...(found.length > 0 ? [whole] : [])], {
    course,
    screens: found,
  });
}

/** `4·x·(1−α₁)(1−ᾱ)·REE` in the source's own room, `4·x·REE` in another. */
function field({ stage, link, firstHit }: Between): Told {
  const { emitter, capsule } = link;
  const rooms = stage.absorptions.length;
  const mean = stage.absorptions[capsule.room]?.mean;
  const perPower = (band: number) =>
    stage.fields[(band * rooms + capsule.room) * rooms + emitter.room] as number;
  const own = capsule.room === emitter.room;
  const hits = [
    factor('first-hit', (band) => 1 - (firstHit[band] as number)),
    factor('further-hits', (band) => 1 - (mean?.[band] as number)),
  ];
  const factors: Factor[] = [
    { kind: 'power', by: emitter.power },
    factor('field', (band) => 4 * perPower(band)),
    ...(own ? hits : []),
    { kind: 'random', by: capsule.ree },
  ];
  return told(factors, { of: stage.scene.rooms[capsule.room]?.name ?? null });
}
