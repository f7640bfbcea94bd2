/** Players and listeners: a drop whose tip is where they look. Who stands is filled; who sits is hollow, with a back rest. */
import type { Player } from '../../scene/scene.ts';
import { closedLine, type Layer, together } from './layer.ts';
import { area, line, named } from './mark.ts';
import { away, type Point, pageAngle } from './plane.ts';
import type { Sheet } from './sheet.ts';

/** Radius of a body, m, and the least and most it is drawn with, mm. */
const BODY = 0.16;
const LEAST = 1.7;
const MOST = 3;
/** Tip of the drop and back rest, in radii from the middle. */
const TIP = 1.95;
const REST = 1.5;
const STEPS = 20;

export function people(sheet: Sheet): Layer {
  const radius = Math.min(MOST, Math.max(LEAST, BODY * sheet.perMetre));
  return together(sheet.scene.players.map((player) => personLayer(sheet, player, radius)));
}

function personLayer(sheet: Sheet, player: Player, radius: number): Layer {
  const at = sheet.place(player.at);
  const angle = pageAngle(player.facing);
  const kind = player.listener ? 'listener' : 'player';
  const rest = player.standing ? [] : [{ points: backRest(at, angle, radius), closed: false }];
  return {
    svg: named(kind, player.name, personMarks(at, angle, radius, player)),
    keepOff: [closedLine(...drop(at, angle, radius)), ...rest],
    names: [{ text: player.name, note: null, noteKind: '', kind: 'player', at: [at], reach: radius * REST }],
  };
}

type Posture = { readonly standing: boolean; readonly listener: boolean };

export function personMarks(
  at: Point,
  angle: number,
  radius: number,
  { standing, listener }: Posture,
): string {
  const body = listener ? 'body listens' : standing ? 'body stands' : 'body sits';
  const rest = standing ? '' : line('rest', backRest(at, angle, radius));
  return area(body, drop(at, angle, radius)) + rest;
}

/** Round but for two straight sides that meet in the tip: they touch the circle where they stand square to its radius. */
function drop(at: Point, angle: number, radius: number): Point[] {
  const from = Math.acos(1 / TIP);
  const round = Array.from({ length: STEPS + 1 }, (_, i) =>
    away(at, angle + from + ((2 * Math.PI - 2 * from) * i) / STEPS, radius),
  );
  return [away(at, angle, TIP * radius), ...round];
}

function backRest(at: Point, angle: number, radius: number): Point[] {
  return Array.from({ length: 9 }, (_, i) => away(at, angle + Math.PI + ((i - 4) / 4) * 0.8, REST * radius));
}
