/** The plain list that follows from all figures: what this plan will fall into, and what would mend it. */
import type { Transfer } from '../../acoustics/transfer.ts';
import { type Lengths, METRES } from '../../plan/lengths.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import { nullPitfalls } from './pitfall-aim.ts';
import { bleedPitfalls } from './pitfall-bleed.ts';
import { doorPitfalls } from './pitfall-doors.ts';
import { PITFALL_KINDS, type Pitfall } from './pitfall-kinds.ts';
import { loudnessPitfalls } from './pitfall-loudest.ts';
import { partPitfalls } from './pitfall-parts.ts';
import { peoplePitfalls } from './pitfall-people.ts';
import { placePitfalls } from './pitfall-places.ts';
import { roomPitfalls } from './pitfall-rooms.ts';
import { timingPitfalls } from './pitfall-timing.ts';

/** `report` is that of the scene; sentences have lengths in metres unless told. Most serious first: by kind, then the worse. */
export function pitfalls(scene: Scene, result: Transfer, report: Report, lengths = METRES): Pitfall[] {
  const all = FINDERS.flatMap((find) => find(scene, result, report, lengths));
  return all.sort((a, b) => rank(a) - rank(b) || b.weight - a.weight);
}

type Finder = (scene: Scene, result: Transfer, report: Report, lengths: Lengths) => Pitfall[];

const FINDERS: readonly Finder[] = [
  peoplePitfalls,
  partPitfalls,
  loudnessPitfalls,
  doorPitfalls,
  nullPitfalls,
  bleedPitfalls,
  timingPitfalls,
  placePitfalls,
  roomPitfalls,
];

const rank = ({ kind }: Pitfall): number => PITFALL_KINDS.indexOf(kind);
