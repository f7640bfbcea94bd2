/** One reading by itself, of one source at one microphone, that is off by any amount: a slip of the pen, a wrong take. */
import type { Cell } from './cells.ts';
import { type Deviation, type Metric, product } from './deviation.ts';
import { grouped } from './grouped.ts';
import type { Readings } from './readings.ts';
import type { Scoring } from './scoring.ts';

/** A cell that alone links its row or column shows nothing: the fit takes it whole. */
const SHOWS = 1e-3;

export function wrongReadings(cells: readonly Cell[], readings: Readings, metric: Metric): Scoring {
  const places = grouped(cells.keys(), (i) => `${cells[i]?.row} ${cells[i]?.column}`);
  const cost = 2 * Math.log(places.size) + Math.log(cells.length);
  const ones = [...places.values()].flatMap((held) => {
    const { row, column } = cells[held[0] ?? 0] as Cell;
    const one = new Float64Array(cells.length);
    for (const i of held) one[i] = 1;
    const shift = metric.of(one);
    const self = product(shift, shift);
    const about = [readings.rows[row]?.name ?? '', readings.columns[column]?.name ?? ''];
    return self > SHOWS ? [{ about, one, shift, self }] : [];
  });
  const offBy = (seen: Deviation, { shift, self }: { shift: Deviation; self: number }) =>
    product(seen, shift) / self;
  return {
    scores: (seen) => ones.map((each) => offBy(seen, each) ** 2 * each.self - cost),
    tried: (seen) =>
      ones.map((each) => {
        const off = offBy(seen, each);
        return {
          cause: { kind: 'reading', about: each.about, how: { off } },
          score: off ** 2 * each.self - cost,
          shift: each.one.map((one) => one * off),
        };
      }),
  };
}
