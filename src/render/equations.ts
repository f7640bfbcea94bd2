/** Each gain on a way: what it is called, how it is computed, and after whom. */
import type { GainKind } from '../judge/why/why-gains.ts';

export type Equation = { readonly name: string; readonly equation: string; readonly source: string };

export const EQUATIONS: Readonly<Record<GainKind, Equation>> = {
  strength: {
    name: 'source on axis',
    equation: 'Lw + 10·lg Q − 10·lg 4π; of a section, of each point its part',
    source: 'definitions of sound power and directivity factor, ρc taken as 400',
  },
  power: {
    name: 'sound power',
    equation: 'Lw, in all directions together',
    source: 'definition of sound power, ρc taken as 400',
  },
  spreading: {
    name: 'spreading',
    equation: 'E(r) = ln(1 + a²/r²)/a² for a source of radius a, 1/r² for a point; r at least 1 cm',
    source: 'exact mean of 1/r² over an incoherent disc',
  },
  directivity: {
    name: 'source toward it',
    equation:
      'G(θ) = b + (1 − b)·((1 + cos θ)/2)^n with b and n from Q and front to back, or a measured table',
    source: 'form of our own; figures as the catalogue cites them',
  },
  air: { name: 'air', equation: '10^(−αr/10) over the whole length', source: 'ISO 9613-1' },
  surface: {
    name: 'reflected',
    equation: '1 − α of the surface, an area mean',
    source: 'image source of the first order',
  },
  face: {
    name: 'reflected by the face',
    equation: '(1 − α)(1 − τ) of the panel',
    source: 'image source of the first order',
  },
  size: {
    name: 'size of the panel',
    equation: '1 − min(1, past), past of the line from the image',
    source: 'complement of what passes it; Hadden and Pierce 1981',
  },
  corners: {
    name: 'round the corner',
    equation: 'squared edge wave of the deepest bend, less g times the loss of each further one',
    source: 'Hadden and Pierce 1981; g after double edges in ITU-R P.526, its use as a weight ours',
  },
  wall: {
    name: 'through it',
    equation: 'τ = 10^(−R/10) of what the line crosses',
    source: 'sound reduction index, as the catalogue or plan gives it',
  },
  opening: {
    name: 'through the opening',
    equation:
      '(a_h − D_l − D_r)(a_v − D_t − D_b), squared, mean over the band and places as past screens, each way at its own angles',
    source: 'Hadden and Pierce 1981 edge waves; complement of a thin screen, ITU-R P.526',
  },
  screens: {
    name: 'past screens',
    equation:
      'τ + (1 − τ)·past/max(1, past), past the squared sum of edge waves, mean over the band, from 1 kHz up as far in step as places 2.2 cm off leave them, and beside a panel less and less of that up to its plane; several: the deepest, less g times the others; each way round at its own angles, which the figures of single screens leave out',
    source: 'Hadden and Pierce 1981 edge wave; ITU-R P.526 thin screens',
  },
  field: {
    name: 'field per power',
    equation: '4·x/W from x_i·(A_i + ΣS_ij·τ_ij) − ΣS_ij·τ_ij·x_j = W_i; 4/A in a room by itself',
    source: 'power balance of diffuse fields in rooms side by side',
  },
  'first-hit': {
    name: 'left by first surface',
    equation: '1 − α₁, the surfaces first met in 500 directions, weighted by G',
    source: 'ray count of our own; the first reflection is told by itself',
  },
  'further-hits': {
    name: 'left by second',
    equation: '1 − ᾱ, the mean absorption of the room',
    source: 'diffuse field from the second reflection on',
  },
  response: {
    name: 'microphone toward it',
    equation: 'D² = ε² + (1 − ε²)·[(A + B·cos θ)² + (B·cos θ/(k·r_e))²], or a measured table',
    source: 'first-order pattern; pressure gradient of a spherical wave',
  },
  random: {
    name: 'microphone all round',
    equation: 'REE = ε² + (1 − ε²)(A² + B²/3), or the sphere mean of a table',
    source: 'mean of D² over the sphere',
  },
  cover: {
    name: 'cover',
    equation: 'loss of the cover, off all but the direct way to a microphone inside',
    source: 'as the catalogue or plan gives it',
  },
};
