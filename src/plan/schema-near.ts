/** Where a mic stands by its source, and where it looks. */
import type { AimEntry, NearEntry } from './plan-mics.ts';
import { forms, into, type Reader } from './schema-frame.ts';
import { keyed, may, must, or, type Rule } from './schema-maps.ts';
import { facing, tilt } from './schema-places.ts';
import { bearing, choice, quantity } from './schema-values.ts';

const HEIGHTS = ['height', 'above', 'below'];

const oneHeight: Rule = {
  bonds: [{ among: HEIGHTS, most: 1 }],
  check: (has, complain) => {
    const given = HEIGHTS.filter(has);
    const message = `says its height twice: \`${given.join('` and `')}\``;
    if (given.length > 1) complain({ code: 'WRONG_SHAPE', message, mend: 'keep one of them' });
  },
};

const rise = quantity('length', [0, 50]);

export const near: Reader<NearEntry> = into(
  keyed(
    'a place near a source',
    {
      distance: must(quantity('length', [0.005, 50]), 'straight, from the acoustic centre', '20 cm'),
      angle: or(quantity('angle', [0, 180]), 0, 'in plan, off the axis of the instrument', 30),
      side: or(choice('left', 'right'), 'right', 'left or right, as the player has it', 'left'),
      height: may(quantity('length', [0, 100]), 'above the floor', 1.2),
      above: may(rise, 'above the acoustic centre', '10 cm'),
      below: may(rise, 'below the acoustic centre', '10 cm'),
    },
    oneHeight,
  ),
  (entry, complain) => {
    const key = entry.above === undefined ? 'below' : 'above';
    if ((entry.above ?? entry.below ?? 0) <= entry.distance) return entry;
    const mend = `make \`${key}\` smaller, or \`distance\` larger`;
    return void complain({
      code: 'BAD_PLACE',
      message: 'is more than the straight distance',
      mend,
      path: [key],
    });
  },
);

export const aim: Reader<AimEntry> = forms({
  scalar: facing,
  map: keyed('an aim', {
    bearing: must(bearing, '0 is up the page, clockwise', 90),
    tilt: may(tilt, 'up is positive', -15),
  }),
});
