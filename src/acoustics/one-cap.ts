/** Energy past a panel with one level edge, as nearly all have: two sides and a top, without a sum over pairs of waves. */
import { BAND_COUNT } from './bands.ts';
import type { Pass, Round } from './rectangle.ts';

/** Detours closer than this, in m: their difference over a band would cancel. */
const ALIKE = 2.5e-6;

/**
 * Writes `past`, the band mean of |1 − (a − L − R)(b − T)|² with L, R, T the waves of both sides and the cap, whose phases are
 * set; a and b are 0 or 1. Multiplied out it is a constant and eight waves, each of them as strong as its edges are in step:
 * squares do not swing, and of LT and LT* one falls away. The mean of a wave over a band is what its imaginary part grows by, over span and detour. The sum over all pairs of nine
 * waves, which gives the same, took twice the time. False, and nothing written, where two detours are alike.
 */
export function pastOneCap({ past, sides, waves }: Pass, a: number, b: number, t: Round): boolean {
  const l = sides[0];
  const r = sides[1];
  const hidden = a * b;
  const corner = hidden > 0 ? 2 : -2;
  // of LT (1) and LT* (−1) the one that stays
  const twist = hidden > 0 ? -1 : 1;
  const apart = l.detour - r.detour;
  const withL = l.detour + twist * t.detour;
  const withR = r.detour + twist * t.detour;
  const over = apart + t.detour;
  const under = apart - t.detour;
  const least = Math.min(l.detour, r.detour, t.detour, Math.abs(apart), Math.abs(withL), Math.abs(withR));
  if (Math.min(least, Math.abs(over), Math.abs(under)) < ALIKE) return false;
  const perL = 1 / l.detour;
  const perR = 1 / r.detour;
  const perT = 1 / t.detour;
  const perApart = 1 / apart;
  const perWithL = 1 / withL;
  const perWithR = 1 / withR;
  const perOver = 1 / over;
  const perUnder = 1 / under;
  for (let band = 0; band < BAND_COUNT; band++) {
    const lSteady = l.steady[band] as number;
    const lRe = lSteady * (l.re[band] as number);
    const lIm = lSteady * (l.im[band] as number);
    const rSteady = r.steady[band] as number;
    const rRe = rSteady * (r.re[band] as number);
    const rIm = rSteady * (r.im[band] as number);
    const tSteady = t.steady[band] as number;
    const tRe = tSteady * (t.re[band] as number);
    const tIm = tSteady * (t.im[band] as number);
    const across = a + energy(l, band) + energy(r, band);
    const upright = b + energy(t, band);
    let growth = 0;
    for (let edge = band; edge < band + 2; edge++) {
      const lCos = l.cos[edge] as number;
      const lSin = l.sin[edge] as number;
      const rCos = r.cos[edge] as number;
      const rSin = r.sin[edge] as number;
      const tCos = t.cos[edge] as number;
      const tSin = t.sin[edge] as number;
      const lx = lRe * lCos - lIm * lSin;
      const ly = lRe * lSin + lIm * lCos;
      const rx = rRe * rCos - rIm * rSin;
      const ry = rRe * rSin + rIm * rCos;
      const tx = tRe * tCos - tIm * tSin;
      const ty = tRe * tSin + tIm * tCos;
      const crossX = lx * rx + ly * ry;
      const crossY = ly * rx - lx * ry;
      const ways =
        (b - a * upright) * (ly * perL + ry * perR) +
        (a - b * across) * ty * perT +
        upright * crossY * perApart -
        b * ((crossY * tx + crossX * ty) * perOver + (crossY * tx - crossX * ty) * perUnder);
      const corners = (ly * tx + twist * lx * ty) * perWithL + (ry * tx + twist * rx * ty) * perWithR;
      growth = 2 * ways + corner * corners - growth;
    }
    past[band] = 1 - 2 * hidden + across * upright + growth * (waves.inverseSpan[band] as number);
  }
  return true;
}

function energy({ re, im }: Round, band: number): number {
  const x = re[band] as number;
  const y = im[band] as number;
  return x * x + y * y;
}
