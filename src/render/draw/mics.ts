/** Microphones: a dot where the capsule is, the shape of its pattern about it, and a tick along its aim. A pair is two, joined. */
import type { Capsule, Mic } from '../../scene/scene.ts';
import { bearingOf, tiltOf } from '../../scene/vector.ts';
import { micVerdict } from '../words.ts';
import { closedLine, type Layer, openLine, round, together } from './layer.ts';
import { area, circle, line, named } from './mark.ts';
import { away, between, type Point, pageAngle } from './plane.ts';
import { polarCurve } from './polar.ts';
import type { Sheet } from './sheet.ts';

export const CAPSULE = 0.7;
/** How far out 0 dB lies: alone, and where other microphones are near, mm. */
const WIDEST = 8;
const LEAST = 3.2;
/** An aim this far up or down has no bearing on the plan, degrees. */
const UPRIGHT = 75;

/** Which patterns are drawn, and how far out 0 dB lies at most. */
export type Shown = { readonly only: string | null; readonly widest: number };
export const ALL: Shown = { only: null, widest: WIDEST };

export const mics = (sheet: Sheet, shown: Shown): Layer =>
  together(sheet.scene.mics.filter(({ line: isLine }) => !isLine).map((mic) => micLayer(sheet, mic, shown)));

function micLayer(sheet: Sheet, mic: Mic, shown: Shown): Layer {
  const capsules = mic.capsules.flatMap((index) => sheet.scene.capsules[index] ?? []);
  const places = capsules.map(({ at }) => sheet.place(at));
  const ownView = shown.only === null || shown.only === mic.name;
  const drawn = capsules.map((capsule) =>
    capsuleLayer(sheet, capsule, ownView ? zeroAt(sheet, capsule, shown) : null),
  );
  const bar = places.length > 1 ? line('pair', places) : '';
  const middle = between(places[0] as Point, places.at(-1) as Point, 0.5);
  return {
    svg: named(ownView ? 'mic' : 'mic aside', mic.name, bar + drawn.map(({ svg }) => svg).join('')),
    keepOff: [...drawn.flatMap(({ keepOff }) => keepOff), openLine(...places)],
    names: [
      {
        text: mic.name,
        ...(ownView ? verdictOf(sheet, mic) : { note: null, noteKind: '' }),
        kind: 'mic',
        at: [middle, ...places],
        reach: CAPSULE,
      },
    ],
  };
}

function verdictOf({ report }: Sheet, { name }: Mic) {
  const row = [...report.pairs, ...report.mics].find((one) => one.name === name);
  return { note: row ? micVerdict(row) : null, noteKind: row?.verdict ?? 'faint' };
}

/** `zero` is how far out 0 dB lies; null where the pattern is not shown. */
function capsuleLayer(sheet: Sheet, capsule: Capsule, zero: number | null): Layer {
  const at = sheet.place(capsule.at);
  const dot = circle('capsule', at, CAPSULE);
  if (zero === null) return { svg: dot, keepOff: [round(at, CAPSULE)], names: [] };
  const curve = polarCurve(capsule, sheet.band, at, zero);
  const aim = aimMark(capsule, at, zero);
  return {
    svg: area('pattern', curve) + aim.svg + dot,
    keepOff: [closedLine(...curve), round(at, CAPSULE), ...aim.keepOff],
    names: [],
  };
}

/** So far out that curves of microphones that stand close do not hide each other; one shown alone takes what it wants. */
function zeroAt({ scene, perMetre }: Sheet, capsule: Capsule, { only, widest }: Shown): number {
  if (only !== null) return widest;
  const others = scene.capsules.filter(({ mic }) => mic !== capsule.mic);
  const [x, y] = capsule.at;
  const nearest = Math.min(...others.map(({ at }) => Math.hypot(at[0] - x, at[1] - y) * perMetre));
  return Math.max(LEAST, Math.min(widest, 0.48 * nearest));
}

/** A tick to the 0 dB mark on axis, shorter the more it looks up or down; a cross or a ring where it looks straight there. */
function aimMark({ aim }: Capsule, at: Point, reach: number): Pick<Layer, 'svg' | 'keepOff'> {
  const tilt = tiltOf(aim);
  if (Math.abs(tilt) > UPRIGHT) return upright(at, tilt > 0);
  const angle = pageAngle(bearingOf(aim));
  const tip = away(at, angle, reach * Math.cos((tilt * Math.PI) / 180));
  const head = [away(tip, angle + 2.6, 1.1), tip, away(tip, angle - 2.6, 1.1)];
  return { svg: line('aim', [at, tip]) + line('aim', head), keepOff: [openLine(at, tip), openLine(...head)] };
}

function upright(at: Point, up: boolean): Pick<Layer, 'svg' | 'keepOff'> {
  const ring = circle('aim', at, 1.5);
  const cross = [0, 1].map((i) => {
    const angle = Math.PI / 4 + (i * Math.PI) / 2;
    return line('aim', [away(at, angle, 1.5), away(at, angle + Math.PI, 1.5)]);
  });
  return { svg: up ? ring : ring + cross.join(''), keepOff: [round(at, 1.5)] };
}
