/** A panel as a mirror for a source and a mic on one side of it. */
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import { inFront, type ReadyPanel } from './panel.ts';
import { pastPanel } from './panel-pass.ts';
import type { Pass, Point } from './rectangle.ts';

/**
 * Energy factor of the reflection by band, `(1−α)(1−τ)(1−min(1, past))`, past of the line image → mic; the image source
 * goes into `image`. Returns the share of that line at which it meets the panel's plane, or −1 where there is no
 * reflection: the two are on opposite sides, or one is in the plane itself.
 */
export function mirrorIn(
  into: Bands,
  image: Point,
  pass: Pass,
  panel: ReadyPanel,
  [source, mic]: readonly [Vec3, Vec3],
): number {
  const nearSource = inFront(panel, source);
  const nearMic = inFront(panel, mic);
  if (nearSource * nearMic <= 0) return -1;
  mirrored(image, panel, source);
  pastPanel(pass, panel, image, mic);
  catchShare(into, pass, panel);
  return nearSource / (nearSource + nearMic);
}

/** Writes `(1−α)(1−τ)(1−min(1, past))`, `past` as last set in the pass. */
export function catchShare(into: Bands, pass: Pass, panel: ReadyPanel): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    const taken = (1 - (panel.alpha[band] as number)) * (1 - (panel.tau[band] as number));
    into[band] = taken * (1 - Math.min(1, Math.max(0, pass.past[band] as number)));
  }
}

/** A point, or with `asDirection` a direction, as the panel's plane mirrors it. */
export function mirrored(into: Point, panel: ReadyPanel, what: Vec3, asDirection = false): void {
  const { along, a } = panel;
  const front = asDirection
    ? along[0] * what[1] - along[1] * what[0]
    : along[0] * (what[1] - a[1]) - along[1] * (what[0] - a[0]);
  into[0] = what[0] + 2 * front * along[1];
  into[1] = what[1] - 2 * front * along[0];
  into[2] = what[2];
}
