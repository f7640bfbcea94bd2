/** Directions spread evenly over the sphere: the golden-angle spiral. */

export const DIRECTIONS = 500;

/** z = 1 − (2i+1)/500, azimuth i·π(3 − √5) from +x toward +y; x, y, z by turns. */
export const SPIRAL = spiral();

/** Directions of one half of the sphere, by azimuth from −π to π; x, y, z by turns. */
export type HalfSphere = { readonly azimuths: Float64Array; readonly directions: Float64Array };

/** The same directions that go up, and those that go down. */
export const UPWARD = halfSphere(1);
export const DOWNWARD = halfSphere(-1);

function spiral(): Float64Array {
  const directions = new Float64Array(DIRECTIONS * 3);
  for (let i = 0; i < DIRECTIONS; i++) {
    const z = 1 - (2 * i + 1) / DIRECTIONS;
    const flat = Math.sqrt(1 - z * z);
    const azimuth = i * Math.PI * (3 - Math.sqrt(5));
    directions[i * 3] = flat * Math.cos(azimuth);
    directions[i * 3 + 1] = flat * Math.sin(azimuth);
    directions[i * 3 + 2] = z;
  }
  return directions;
}

function halfSphere(side: 1 | -1): HalfSphere {
  const azimuths = new Float64Array(DIRECTIONS / 2);
  const directions = new Float64Array((DIRECTIONS / 2) * 3);
  const azimuth = (i: number): number => Math.atan2(SPIRAL[i * 3 + 1] as number, SPIRAL[i * 3] as number);
  const indices = [...Array(DIRECTIONS).keys()].filter((i) => side * (SPIRAL[i * 3 + 2] as number) > 0);
  indices.sort((one, other) => azimuth(one) - azimuth(other));
  indices.forEach((index, place) => {
    azimuths[place] = azimuth(index);
    directions.set(SPIRAL.subarray(index * 3, index * 3 + 3), place * 3);
  });
  return { azimuths, directions };
}
