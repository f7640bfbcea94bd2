/** First-order reflections off the panels that stand in a room. */
import { holds, seesWithin } from '../scene/polygon.ts';
import type { Vec3 } from '../scene/vector.ts';
import { dimJoined, dimSeen, stretch } from './dim-behind.ts';
import { wayEnergy } from './free-way.ts';
import { cosineOf, type Link, sightsFrom, sightsTo } from './link.ts';
import { catchShare, mirrored } from './mirror.ts';
import { inFront, type ReadyPanel } from './panel.ts';
import { pastPanel, pastSeen, setLength } from './panel-pass.ts';
import { SIGHT } from './panel-sight.ts';
import type { Screens } from './past-screens.ts';
import { arriveBy, keepOf, type SoundPath, startPath, type Visit } from './path.ts';
import type { Point } from './rectangle.ts';
import type { RoomShape } from './room-shape.ts';
import { inMirror } from './spot.ts';
import type { Surroundings } from './surroundings.ts';

/** Visits the reflection off each panel that source and mic stand on one side of. */
export function mirrorPaths(
  path: SoundPath,
  shape: RoomShape | null,
  { screens }: Surroundings,
  link: Link,
  visit: Visit,
): void {
  if (!screens) return;
  for (let mirror = 0; mirror < screens.mirrors.length; mirror++)
    if (offPanel(path, mirror, screens, link, shape)) visit(path);
}

const image: Point = [0, 0, 0];
const leave: Point = [0, 0, 0];

function offPanel(
  path: SoundPath,
  mirror: number,
  screens: Screens,
  link: Link,
  shape: RoomShape | null,
): boolean {
  const { emitter, capsule } = link;
  const panel = screens.mirrors[mirror] as ReadyPanel;
  const nearSource = inFront(panel, emitter.at);
  const nearMic = inFront(panel, capsule.at);
  if (nearSource * nearMic <= 0) return false;
  const along = nearSource / (nearSource + nearMic);
  mirrored(image, panel, emitter.at);
  if (shape && !shape.convex && !bothLegsInside(shape, image, along, link)) return false;
  setWay(path, panel, link);
  pastMirror(mirror, screens, link, path.length);
  catchShare(path.energy, screens.pass, panel);
  keepOf(path, path.energy);
  dimLegs(path, mirror, along, screens, link);
  return true;
}

/**
 * Sets the pass to the line image → mic past the mirror itself. A point and its image see the same edges of a panel, so that the
 * source's own sight serves.
 */
function pastMirror(mirror: number, screens: Screens, link: Link, length: number): void {
  const { pass, lone, aloneAs, mirrors } = screens;
  const alone = aloneAs[mirror] as number;
  if (alone < 0) {
    pastPanel(pass, mirrors[mirror] as ReadyPanel, image, link.capsule.at);
    return;
  }
  const at = alone * SIGHT;
  pass.straight.whole = length;
  pastSeen(pass, lone[alone] as ReadyPanel, sightsFrom(screens, link), at, sightsTo(screens, link), at);
}

/** The way and its free energies; `image` is the source's. */
function setWay(path: SoundPath, panel: ReadyPanel, link: Link): void {
  const [mx, my, mz] = link.capsule.at;
  const dx = mx - image[0];
  const dy = my - image[1];
  const dz = mz - image[2];
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  startPath(path, 'mirror', 'reflections', length);
  arriveBy(path, dx / length, dy / length, dz / length);
  mirrored(leave, panel, path.arrive, true);
  path.panel = panel.panel;
  path.cosLeave = cosineOf(link.emitter.axis, leave);
  path.cosArrive = -cosineOf(path.arrive, link.capsule.aim);
  wayEnergy(path, link, path.cosLeave, path.cosArrive, length, length);
}

/** The other screens on both legs, as on those of a way off a surface. */
function dimLegs(path: SoundPath, mirror: number, along: number, screens: Screens, link: Link): void {
  const { emitter, capsule } = link;
  const panel = screens.mirrors[mirror] as ReadyPanel;
  const source = sightsFrom(screens, link);
  const mic = sightsTo(screens, link);
  const seen = inMirror(screens, mirror);
  const except = screens.aloneAs[mirror] as number;
  screens.pass.straight.whole = path.length;
  dimSeen(path.energy, screens, stretch(along, 1, except), source, seen, mic, 0);
  dimSeen(path.energy, screens, stretch(0, along, except), source, 0, mic, seen);
  if (screens.joined.length === 0) return;
  const beyond: Point = [0, 0, 0];
  mirrored(beyond, panel, capsule.at);
  const legs = { except: panel.panel };
  dimJoinedLeg(path, screens, { ...legs, source: image, mic: capsule.at, from: along, to: 1 });
  dimJoinedLeg(path, screens, { ...legs, source: emitter.at, mic: beyond, from: 0, to: along });
}

function dimJoinedLeg(path: SoundPath, screens: Screens, leg: Parameters<typeof dimJoined>[2]): void {
  setLength(screens.pass, leg.source, leg.mic);
  dimJoined(path.energy, screens, leg);
}

function bothLegsInside(shape: RoomShape, from: Vec3, along: number, { emitter, capsule }: Link): boolean {
  const hit = [
    from[0] + along * (capsule.at[0] - from[0]),
    from[1] + along * (capsule.at[1] - from[1]),
  ] as const;
  if (!holds(shape.outline, hit[0], hit[1])) return false;
  return (
    seesWithin(shape.outline, [emitter.at[0], emitter.at[1]], hit) &&
    seesWithin(shape.outline, hit, [capsule.at[0], capsule.at[1]])
  );
}
