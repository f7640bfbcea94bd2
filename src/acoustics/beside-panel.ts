/** What is left of a panel's effect on a line that passes beside it. */

/**
 * 1 where the line grazes an edge or is hidden, 0 where source or mic stands in the panel's plane outside it: there the exact field
 * of a thin rigid panel is the free one, by symmetry, and that of the edge waves is not. `lift` is how far from the edge to the plane
 * the line has come, 0 to 1, as ρ rises; its square, which of its powers comes closest to the wave equation past narrow strips.
 * Of several edges that a line passes clear of they multiply.
 */
export const leftBeside = (lift: number): number => 1 - lift * lift;
