/**
 * Macdonald's exact field of a point source by a rigid half-plane (1915; Bowman, Senior & Uslenghi, ch. 8), for checks:
 * `p = ik[I(R, φ−φ0) + I(R', φ+φ0)]`, `I = ∫_{−m}^∞ H1(kR + s²)/√(s² + 2kR) ds`, `m = 2√(k r r0/(R1 + R))·cos(half)`.
 */
type Complex = readonly [number, number];
type Point = readonly [number, number, number];

const times = (a: Complex, b: Complex): Complex => [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]];
const scaled = (a: Complex, by: number): Complex => [a[0] * by, a[1] * by];
const plus = (a: Complex, b: Complex): Complex => [a[0] + b[0], a[1] + b[1]];
const inverse = (a: Complex): Complex => scaled([a[0], -a[1]], 1 / (a[0] ** 2 + a[1] ** 2));
const expI = (a: Complex): Complex => scaled([Math.cos(a[0]), Math.sin(a[0])], Math.exp(-a[1]));
function root(a: Complex): Complex {
  const size = Math.sqrt(Math.hypot(a[0], a[1]));
  const angle = Math.atan2(a[1], a[0]) / 2;
  return [size * Math.cos(angle), size * Math.sin(angle)];
}

/** Hankel function of the first kind, order 1, by Watson's integral (A&S 9.1 ff.): smooth, so the trapezoid is exact. */
function hankel1(x: Complex): Complex {
  let sum: Complex = [0, 0];
  const step = 0.1;
  for (let v = step; v < 6.5; v += step) {
    const inside = plus([1, 0], times([0, (v * v) / 2], inverse(x)));
    sum = plus(sum, scaled(root(inside), 2 * Math.exp(-v * v) * v * v * step));
  }
  const front = times(expI(plus(x, [-0.75 * Math.PI, 0])), root(scaled(inverse(x), 2 / Math.PI)));
  return scaled(times(front, sum), 2 / Math.sqrt(Math.PI));
}

/** Along the real axis while s < 0, then along s = start + t·e^{iπ/4}, where the integrand dies as e^{−t²}. */
function integral(kR: number, m: number): Complex {
  const value = (s: Complex): Complex => {
    const square = times(s, s);
    return times(hankel1(plus([kR, 0], square)), inverse(root(plus(square, [2 * kR, 0]))));
  };
  const turn: Complex = [Math.SQRT1_2, Math.SQRT1_2];
  const start = Math.max(0, -m);
  const far = simpson((t) => times(turn, value(plus([start, 0], scaled(turn, t)))), 0, 7, 300);
  return m > 0
    ? plus(
        far,
        simpson((s) => value([s, 0]), -m, 0, Math.ceil(100 + 20 * m * m)),
      )
    : far;
}

function simpson(value: (x: number) => Complex, from: number, to: number, halfSteps: number): Complex {
  const steps = 2 * halfSteps;
  const step = (to - from) / steps;
  let sum: Complex = [0, 0];
  for (let i = 0; i <= steps; i++) {
    const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    sum = plus(sum, scaled(value(from + i * step), (weight * step) / 3));
  }
  return sum;
}

/** Loss in dB; the half-plane is x = 0 below z = edge, without end along y. */
export function macdonaldLoss(source: Point, mic: Point, edge: number, k: number): number {
  const [r0, r] = [Math.hypot(source[0], edge - source[2]), Math.hypot(mic[0], edge - mic[2])];
  const phi0 = Math.atan2(Math.abs(source[0]), edge - source[2]);
  const phi = 2 * Math.PI - Math.atan2(Math.abs(mic[0]), edge - mic[2]);
  const slide = mic[1] - source[1];
  const around = Math.hypot(r0 + r, slide);
  const part = (angle: number): Complex => {
    const straight = Math.sqrt(Math.max(0, r0 * r0 + r * r - 2 * r0 * r * Math.cos(angle)) + slide * slide);
    const m = 2 * Math.sqrt((k * r * r0) / (around + straight)) * Math.cos(angle / 2);
    return integral(k * straight, m);
  };
  const total = scaled(plus(part(phi - phi0), part(phi + phi0)), k);
  const direct = Math.hypot(mic[0] - source[0], mic[1] - source[1], mic[2] - source[2]);
  return -20 * Math.log10(Math.hypot(total[0], total[1]) * direct);
}
