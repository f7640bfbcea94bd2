/** A vertical panel made ready for bending: which of its sides are edges, and what its faces reflect. */
import { type Bands, bands } from '../acoustics/bands.ts';
import { orientation, type Planar, span, type Vec2 } from '../geometry.ts';
import type { Panel, Room } from '../scene/scene.ts';

/** Whether the panel stands in the way of the stretch. Meeting just an end of the panel counts; along the panel does not. */
export function isBlocked(panel: PreparedPanel, from: Planar, to: Planar): boolean {
  if (orientation(panel.a, panel.b, from) * orientation(panel.a, panel.b, to) >= 0) return false;
  return orientation(from, to, panel.a) * orientation(from, to, panel.b) <= 0;
}

/** A gap no wider than this is none, m. */
export const SHUT = 1e-6;
/** A panel lower than this above the floor stands on it. */
const STANDS = 0.001;
/** An endless upright edge at `foot`; `into` points from it into the panel. */
export type UprightEdge = { readonly foot: Vec2; readonly into: Vec2; readonly rho: Bands };

export type PreparedPanel = {
  readonly panel: Panel;
  readonly a: Vec2;
  readonly b: Vec2;
  /** Unit vector from a to b. */
  readonly along: Vec2;
  readonly width: number;
  readonly low: number;
  readonly high: number;
  /** Whether the end is an edge: at a, at b, above, below. */
  readonly edgeA: boolean;
  readonly edgeB: boolean;
  readonly edgeTop: boolean;
  readonly edgeBottom: boolean;
  readonly tau: Bands;
  readonly alpha: Bands;
  /** Pressure its faces reflect, √(1−α). */
  readonly rho: Bands;
  /** It is an opening: its edges are those of the wall round it, which reaches outward. */
  readonly outward: boolean;
  /** The edges at its ends a and b. */
  readonly upright: readonly [UprightEdge, UprightEdge];
};

/** What bounds the place a panel stands in; null for the open air, whose ground is at 0. */
export type Bounds = Pick<Room, 'outline' | 'floor' | 'ceiling'> | null;

/** Edges that are none, since a gap to wall or ceiling counts as shut. */
export type ShutEdges = { readonly a: boolean; readonly b: boolean; readonly top: boolean };

const NONE_SHUT: ShutEdges = { a: false, b: false, top: false };

export function preparePanel(panel: Panel, bounds: Bounds, shut = NONE_SHUT): PreparedPanel {
  const { a, b, low, high, tau, alpha } = panel;
  const width = span(a, b);
  const along: Vec2 = [(b[0] - a[0]) / width, (b[1] - a[1]) / width];
  const rho = reflectedPressure(alpha);
  return {
    panel,
    a,
    b,
    along,
    width,
    low,
    high,
    edgeA: !shut.a,
    edgeB: !shut.b,
    edgeTop: !shut.top,
    edgeBottom: low > (bounds?.floor ?? 0) + STANDS,
    tau,
    alpha,
    rho,
    outward: false,
    upright: uprightEdges(a, b, along, rho),
  };
}

export const uprightEdges = (a: Vec2, b: Vec2, along: Vec2, rho: Bands): [UprightEdge, UprightEdge] => [
  { foot: a, into: along, rho },
  { foot: b, into: [-along[0], -along[1]], rho },
];

export const reflectedPressure = (alpha: Bands): Bands =>
  bands((band) => Math.sqrt(1 - (alpha[band] as number)));

/** Distance in front of the panel's plane, with a sign; 0 in the plane. */
export function inFront(panel: PreparedPanel, point: readonly [number, number, number]): number {
  return panel.along[0] * (point[1] - panel.a[1]) - panel.along[1] * (point[0] - panel.a[0]);
}

/** Distance along the panel from its end a. */
export function alongPanel(panel: PreparedPanel, point: readonly [number, number, number]): number {
  return panel.along[0] * (point[0] - panel.a[0]) + panel.along[1] * (point[1] - panel.a[1]);
}
