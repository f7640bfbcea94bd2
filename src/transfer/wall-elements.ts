/** Walls with doors, windows and openings in them: what a reflection meets where it meets the wall. */
import { BAND_COUNT, type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import type { Vec3 } from '../geometry.ts';
import type { Room, Surface } from '../scene/scene.ts';
import { prepareAperture } from './aperture.ts';
import { setEdgePaths } from './diffraction-path.ts';
import { type RoomAbsorption, surfaceAlpha } from './diffuse-field.ts';
import { type PreparedPanel, reflectedPressure } from './panel.ts';
import { type PanelWorkspace, sumReflected } from './panel-diffraction.ts';

/** A wall whose elements reflect otherwise than its finish. */
export type MixedWall = {
  /** Energy that the finish with its patches reflects. */
  readonly bare: Bands;
  /** Outlines of its elements, with `r_e/r_wall − 1` by band. */
  readonly elements: readonly { readonly outline: PreparedPanel; readonly q: Bands }[];
};

/** The edges of elements add no image of their own to the wall's. */
const BLACK = sameInAllBands(1);
/** Pressure that even the dullest wall reflects. */
const DULL = 0.03;

/** By surface of a room; null where it has no elements. */
export const mixedWalls = (room: Room, absorption: RoomAbsorption): (MixedWall | null)[] =>
  room.surfaces.map((surface, s) =>
    surface.elements.length > 0 ? mixedWall(room, surface, surfaceAlpha(absorption, s)) : null,
  );

/** `alpha` is the area mean brought into line with a measured time, which scales all but what stands open alike. */
function mixedWall(room: Room, surface: Surface, alpha: Bands): MixedWall {
  const { elements, area, open } = surface;
  const scale = bands((band) => {
    const closed = (surface.alpha[band] as number) * area - open;
    return closed > 0 ? Math.max(0, (alpha[band] as number) * area - open) / closed : 1;
  });
  const scaled = (values: Bands) => values.map((one, band) => Math.min(1, one * (scale[band] as number)));
  const r = reflectedPressure(scaled(bareAlpha(surface))).map((one) => Math.max(DULL, one));
  return {
    bare: r.map((one) => one * one),
    elements: elements.map((element) => {
      const own = reflectedPressure(
        element.alpha.map((one, band) => (one < 1 ? Math.min(1, one * (scale[band] as number)) : 1)),
      );
      return {
        outline: prepareAperture(element, [room], BLACK),
        q: own.map((one, band) => one / (r[band] as number) - 1),
      };
    }),
  };
}

/** Absorption of a surface without its elements. */
export function bareAlpha({ alpha, area, elements }: Surface): Bands {
  const rest = elements.reduce((left, element) => left - element.area, area);
  return alpha.map((mean, band) => {
    const held = elements.reduce((sum, element) => sum + element.area * (element.alpha[band] as number), 0);
    return rest > 0 ? Math.min(1, Math.max(0, (mean * area - held) / rest)) : mean;
  });
}

/**
 * Writes the energy that a wall reflects on the line from the image to the mic, whose length is set:
 * `|r_wall + Σ (r_e − r_wall)·P_e|²`, P_e the field through an element's outline; of several elements as a product.
 */
export function reflectedByWall(
  into: Bands,
  workspace: PanelWorkspace,
  wall: MixedWall,
  image: Vec3,
  mic: Vec3,
): void {
  into.set(wall.bare);
  for (const { outline, q } of wall.elements) {
    setEdgePaths(workspace, outline, image, mic);
    sumReflected(workspace, q);
    for (let band = 0; band < BAND_COUNT; band++)
      into[band] = (into[band] as number) * Math.max(0, workspace.past[band] as number);
  }
}
