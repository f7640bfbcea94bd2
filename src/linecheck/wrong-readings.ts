/** One reading by itself, of one source at one microphone, that is off by any amount: a slip of the pen, a wrong take. */
import type { Cell } from './cells.ts';
import { type Deviation, type Metric, product } from './deviation.ts';
import { grouped } from './grouped.ts';
import type { Readings } from './readings.ts';
import type { Suspected } from './scoring.ts';

/** A cell that alone links its row or column shows nothing: the fit takes it whole. */
const SHOWS = 1e-3;

export function wrongReadings(cells: readonly Cell[], readings: Readings, metric: Metric): Suspected[] {
  const places = grouped(cells.keys(), (i) => `${cells[i]?.row} ${cells[i]?.column}`);
  return [...places.values()].flatMap((held) => {
    const { row, column } = cells[held[0] ?? 0] as Cell;
    const one = new Float64Array(cells.length);
    for (const i of held) one[i] = 1;
    const shift = metric.of(one);
    const self = product(shift, shift);
    const about = [readings.rows[row]?.name ?? '', readings.columns[column]?.name ?? ''];
    const offBy = (seen: Deviation) => product(seen, shift) / self;
    const told: Suspected['told'] = (seen) => {
      const off = offBy(seen);
      return { cause: { kind: 'reading', about, how: { off } }, shift: one.map((share) => share * off) };
    };
    return self > SHOWS ? [{ kind: 'reading', fall: (seen) => offBy(seen) ** 2 * self, told }] : [];
  });
}
