/** The sheet that everything is drawn on: what is drawn, to what scale, and where on the page. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Report } from '../../judge/report.ts';
import type { LengthUnit } from '../../plan/tree.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Vec2, Vec3 } from '../../scene/vector.ts';
import type { Extent } from './extent.ts';
import type { Page } from './page.ts';
import type { Point } from './plane.ts';

/** A plan as it was computed. */
export type Told = {
  readonly scene: Scene;
  readonly result: Transfer;
  readonly report: Report;
  readonly units: LengthUnit;
};

export type Sheet = Told & {
  /** Number of the octave band whose patterns are drawn. */
  readonly band: number;
  /** Millimetres on paper for a metre of floor. */
  readonly perMetre: number;
  readonly place: (point: Vec2 | Vec3) => Point;
};

/** The plan in the middle of the page's frame, y upward as on the plan. */
export function sheetOn(told: Told, band: number, { scale, frame }: Page, extent: Extent): Sheet {
  const perMetre = 1000 / scale;
  const middle = [(frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2] as const;
  const centre = [(extent.left + extent.right) / 2, (extent.bottom + extent.top) / 2] as const;
  const place = ([x, y]: Vec2 | Vec3): Point => [
    middle[0] + (x - centre[0]) * perMetre,
    middle[1] - (y - centre[1]) * perMetre,
  ];
  return { ...told, band, perMetre, place };
}
