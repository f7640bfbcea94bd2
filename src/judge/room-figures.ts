/** Figures of each room: volume, reverberation times, critical distance, Schroeder frequency. */
import type { RoomAbsorption } from '../acoustics/absorption.ts';
import { bands } from '../acoustics/bands.ts';
import {
  criticalDistance,
  eyringTime,
  roomConstant,
  sabineTime,
  schroederFrequency,
} from '../acoustics/decay.ts';
import type { Room } from '../scene/scene.ts';
import type { RoomRow } from './rows.ts';

/** Bands of 500 Hz and 1 kHz, over which single figures are averaged. */
const MIDDLE = [3, 4] as const;

export function roomFigures(room: Room, absorption: RoomAbsorption, soundSpeed: number): RoomRow {
  const { area, mean, surface } = absorption;
  const at = (values: Float64Array, band: number) => values[band] ?? 0;
  const eyring = bands((band) => eyringTime(room.volume, surface, at(mean, band), soundSpeed));
  const measured = room.measured?.t60 ?? null;
  const time = measured ?? eyring;
  const constant = average((band) => roomConstant(at(area, band), at(mean, band)));
  return {
    name: room.name,
    volume: room.volume,
    sabine: bands((band) => sabineTime(room.volume, at(area, band), soundSpeed)),
    eyring,
    measured,
    criticalDistance: criticalDistance(constant),
    schroeder: schroederFrequency(
      average((band) => at(time, band)),
      room.volume,
    ),
  };
}

const average = (value: (band: number) => number): number =>
  MIDDLE.reduce((sum, band) => sum + value(band), 0) / MIDDLE.length;
