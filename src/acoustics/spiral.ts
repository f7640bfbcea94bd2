/** Directions spread evenly over the sphere: the golden-angle spiral. */

export const DIRECTIONS = 500;

/** z = 1 − (2i+1)/500, azimuth i·π(3 − √5) from +x toward +y; x, y, z by turns. */
export const SPIRAL = spiral();

function spiral(): Float64Array {
  const directions = new Float64Array(DIRECTIONS * 3);
  for (let i = 0; i < DIRECTIONS; i++) {
    const z = 1 - (2 * i + 1) / DIRECTIONS;
    const flat = Math.sqrt(1 - z * z);
    const azimuth = i * Math.PI * (3 - Math.sqrt(5));
    directions.set([flat * Math.cos(azimuth), flat * Math.sin(azimuth), z], i * 3);
  }
  return directions;
}
