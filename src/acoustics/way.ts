/** The seam between a path's geometry and its energy. */
import type { Vec3 } from '../scene/vector.ts';
import type { Arriving } from './free-way.ts';

/**
 * Free energy of one way from a source to a microphone, and the microphone's response, by band, before any obstacle.
 * `leave` and `arrive` are unit vectors along the direction of travel where the way leaves the source and reaches the mic:
 * they set G and D². `spread` is the distance that sets spreading and proximity, `travelled` the one that sets the air's loss.
 */
export type FreeWay = (into: Arriving, leave: Vec3, arrive: Vec3, spread: number, travelled: number) => void;
