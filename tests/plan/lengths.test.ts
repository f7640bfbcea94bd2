/** Lengths in words, converted by hand: 1 ft = 0.3048 m, 1 in = 25.4 mm, exact (international yard and pound agreement, 1959). */
import { describe, expect, test } from 'vitest';
import { lengthsIn, METRES } from '../../src/plan/units.ts';

const feet = lengthsIn('ft');

test.each([
  { metres: 2.2, tape: '7 ft 2½ in', cm: '220 cm' }, // 86.61 in: 173.2 halves, 173 = 86.5 in = 84 + 2.5
  { metres: 0.3, tape: '1 ft 0 in', cm: '30 cm' }, // 11.81 in: 23.6 halves, 24 = 12 in, carried over
  { metres: 0.3048, tape: '1 ft 0 in', cm: '30 cm' },
  { metres: 1.829, tape: '6 ft 0 in', cm: '183 cm' }, // 72.008 in
  { metres: 0.01, tape: '½ in', cm: '1 cm' }, // 0.394 in: 0.79 halves
  { metres: 0.006, tape: '0 in', cm: '1 cm' }, // 0.236 in: 0.47 halves
  { metres: 0.1397, tape: '5½ in', cm: '14 cm' }, // 5.5 in to the dot
  { metres: -0.001, tape: '0 in', cm: '0 cm' },
])('a tape shows $metres m as $tape or $cm', ({ metres, tape, cm }) => {
  expect([feet.tape(metres), METRES.tape(metres)]).toEqual([tape, cm]);
});

test.each([
  { metres: 1.6002, apart: '5 ft 3 in', m: '1.60 m' }, // 63 in to the dot
  { metres: 1.82, apart: '6 ft 0 in', m: '1.82 m' }, // 71.65 in: 72, carried over
  { metres: 4.17, apart: '13 ft 8 in', m: '4.17 m' }, // 164.17 in = 156 + 8.17
  { metres: 0.2, apart: '8 in', m: '0.20 m' }, // 7.874 in: 15.7 halves, 16
  { metres: 0.06, apart: '2½ in', m: '0.06 m' }, // 2.362 in: 4.7 halves, 5
  { metres: 0.304, apart: '1 ft 0 in', m: '0.30 m' }, // 11.969 in: 23.9 halves, 24
  { metres: -1.2, apart: 'minus 3 ft 11 in', m: '-1.20 m' }, // 47.24 in
])('things $metres m apart are $apart or $m apart', ({ metres, apart, m }) => {
  expect([feet.apart(metres), METRES.apart(metres)]).toEqual([apart, m]);
});

test.each([
  { metres: 4.17, away: '13.7 ft', m: '4.17 m' }, // 13.681 ft
  { metres: 0.91, away: '36 in', m: '0.91 m' }, // 35.83 in: 71.7 halves, 72
  { metres: 0.92, away: '3.0 ft', m: '0.92 m' }, // 3.018 ft
  { metres: 0.2, away: '8 in', m: '0.20 m' },
])('in a column things $metres m apart are $away or $m away', ({ metres, away, m }) => {
  expect([feet.away(metres), METRES.away(metres)]).toEqual([away, m]);
});

test.each([
  { metres: 2.987, digits: 2, ft: '9.8 ft', m: '2.99 m' }, // 9.7999 ft
  { metres: 10.24, digits: 2, ft: '33.6 ft', m: '10.24 m' }, // 33.596 ft
  { metres: 0.2, digits: 2, ft: '0.66 ft', m: '0.20 m' }, // 0.6562 ft: under 3 ft to a hundredth
  { metres: 0.9143, digits: 2, ft: '3.00 ft', m: '0.91 m' }, // 2.9997 ft, the last that is
  { metres: 0.9145, digits: 2, ft: '3.0 ft', m: '0.91 m' }, // 3.0003 ft
  { metres: -1e-17, digits: 2, ft: '0.00 ft', m: '0.00 m' },
  { metres: { from: 3.9, to: 5.2 }, digits: 1, ft: '13–17 ft', m: '3.9–5.2 m' }, // 12.795 and 17.060 ft
  { metres: { from: 3, to: 3.01 }, digits: 1, ft: '10 ft', m: '3.0 m' }, // 9.84 and 9.88 ft
])('a way of $metres m is $ft or $m long', ({ metres, digits, ft, m }) => {
  expect([feet.way(metres, digits), METRES.way(metres, digits)]).toEqual([ft, m]);
});

describe('in feet', () => {
  test('a short distance is in inches, as a plan may hold it', () => {
    // 0.1905 m = 7.5 in to the dot; 0.2 m = 7.87 in: 8
    expect([0.1905, 0.2].map(feet.close)).toEqual(['7.5 in', '8 in']);
    expect([0.1905, 0.2].map(METRES.close)).toEqual(['19 cm', '20 cm']);
  });

  test('areas count in square feet of 0.09290304 m², volumes in cubic feet of 0.028316846592 m³', () => {
    // 6 / 0.09290304 = 64.583; 64 · 0.09290304 = 5.94579; 81 / 0.028316846592 = 2860.49
    expect([6, 5.94579456].map(feet.area)).toEqual(['64.6 sq ft', '64 sq ft']);
    expect([6, 5.94579456].map(METRES.area)).toEqual(['6 m²', '5.95 m²']);
    expect([feet.volume(81), METRES.volume(81)]).toEqual([
      ['2860', 'cu ft'],
      ['81', 'm³'],
    ]);
  });

  test('a size is told as its tape, a point of the page by bare numbers as in the plan', () => {
    // 1.8288 m = 6 ft; (3.048, 0.762) m = (10, 2.5) ft
    expect([feet.size(1.8288), METRES.size(1.8288)]).toEqual(['6 ft 0 in', '1.829 m']);
    expect([feet.spot([3.048, 0.762]), METRES.spot([3.048, 0.762])]).toEqual(['(10, 2.5)', '(3.05, 0.76)']);
  });
});
