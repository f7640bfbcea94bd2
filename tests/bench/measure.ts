/** What is measured, and how it is told against its goal. */

export const say = (line: string): void => void process.stdout.write(`${line}\n`);
const whole = (value: number): string => Math.round(value).toLocaleString('en-US');
export const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[values.length >> 1] ?? 0;

/** Seconds of processor time: a machine that others share keeps one waiting, but counts no second of that. */
export function timed(run: () => void): number {
  const from = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1e6;
}

/** How often a second of processor time: the median of several stretches, after warming up. */
export function perSecond(run: () => void, stretch = 0.3): number {
  const until = (seconds: number): number => {
    let done = 0;
    let gone = 0;
    while (gone < seconds) {
      gone += timed(() => {
        const end = performance.now() + 20;
        while (performance.now() < end) {
          run();
          done++;
        }
      });
    }
    return done / gone;
  };
  until(2 * stretch);
  return median(Array.from({ length: 7 }, () => until(stretch)));
}

/** More is better. */
export function sayRate(name: string, rate: number, goal: number): void {
  say(`${name}: ${whole(rate)} a second, ${(rate / goal).toFixed(2)} of the goal of ${whole(goal)}`);
}

/** Less is better. */
export function sayTime(name: string, seconds: number, goal: number): void {
  say(`${name}: ${seconds.toFixed(1)} s, ${(seconds / goal).toFixed(2)} times the goal of ${goal} s`);
}
