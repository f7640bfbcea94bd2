/** Points on the plan, and directions. */
import type { Facing, Place, Point } from './plan-values.ts';
import { readsAsQuantity } from './quantity.ts';
import { below, by, type Complain, type Reader, reader, wrongShape } from './schema-frame.ts';
import { bearing, coordinate, name, quantity } from './schema-values.ts';
import type { Node, Scalar } from './tree.ts';

/** Two of a kind in a list. */
export function pairOf<T>(item: Reader<T>, wanted: string): Reader<readonly [T, T]> {
  const items = few(item, wanted, [2, 2]);
  return reader({ takes: 'list', items: [item, item], least: 2, most: 2 }, (node, complain) => {
    const [first, second] = items(node, complain) ?? [];
    return first === undefined || second === undefined ? undefined : ([first, second] as const);
  });
}

/** [x, y]. */
export const point: Reader<Point> = pairOf(coordinate, '[x, y]');

const coordinates = few(coordinate, '[x, y] or [x, y, z]', [2, 3]);

/** [x, y] or [x, y, z]; z counts from the floor of its room. */
export const place: Reader<Place> = reader(
  { takes: 'list', items: [coordinate, coordinate, coordinate], least: 2, most: 3 },
  (node, complain) => {
    const [x, y, z] = coordinates(node, complain) ?? [];
    if (x === undefined || y === undefined) return undefined;
    return z === undefined ? { x, y } : { x, y, z };
  },
);

function few<T>(item: Reader<T>, wanted: string, [least, most]: readonly [number, number]) {
  return (node: Node, complain: Complain): readonly T[] | undefined => {
    if (node.kind !== 'list') return void complain(wrongShape(node, wanted));
    if (node.unevenCommas) {
      const message = 'has commas with and without a blank after them: decimals take a point';
      return void complain({ code: 'BAD_QUANTITY', message, mend: `write ${wanted}, as in [2.5, 3]` });
    }
    if (node.items.length < least || node.items.length > most) {
      return void complain(
        wrongShape(node, wanted, `write ${wanted}, decimals with a point, as in [2.5, 3]`),
      );
    }
    const values = node.items.map((each, i) => below(item, each, i, complain));
    return values.some((value) => value === undefined) ? undefined : (values as T[]);
  };
}

/** A bearing, or the name of what is looked at. */
export const facing: Reader<Facing> = reader({ takes: 'forms', forms: [bearing, name] }, (node, complain) => {
  if (node.kind !== 'scalar' || node.value === null) {
    return void complain(wrongShape(node, 'a bearing in degrees or a name'));
  }
  if (isMeantAsAngle(node)) {
    const degrees = by(bearing, node, complain);
    return degrees === undefined ? undefined : { bearing: degrees };
  }
  const target = by(name, node, complain);
  return target === undefined ? undefined : { target };
});

/** No name reads as a number or a quantity, so what does is an angle, however badly written. */
const isMeantAsAngle = (node: Scalar): boolean =>
  typeof node.value === 'number' || node.foreign !== null || readsAsQuantity(node.text);

export const tilt: Reader<number> = quantity('angle', [-90, 90]);
