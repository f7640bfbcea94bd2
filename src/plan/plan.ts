/**
 * What a plan says, checked for shape, units and ranges: metres, degrees, seconds, dB, hertz, °C. Names are not looked up.
 * Keys are the plan's own in camel case (`made-of` is `madeOf`); an optional key was not written. Findings go by the plan's
 * own keys: the path of a baffle's material is ['baffles', name, 'made-of'].
 */

import type { FloorEntry, LimitsEntry, OnHandEntry, ToleranceEntry } from './plan-demands.ts';
import type { MicEntry } from './plan-mics.ts';
import type { ListenerEntry, PlayerEntry, SourceEntry } from './plan-players.ts';
import type { BaffleEntry, PartitionEntry, RoomEntry } from './plan-rooms.ts';
import type { Named } from './plan-values.ts';
import type { LengthUnit } from './tree.ts';

export type PlanData = {
  readonly title?: string;
  /** What bare lengths of the plan itself count in, whatever a studio under it says; what is told of it is told in them. */
  readonly units: LengthUnit;
  readonly air: AirEntry;
  readonly rooms: Named<RoomEntry>;
  readonly partitions: Named<PartitionEntry>;
  readonly baffles: Named<BaffleEntry>;
  readonly players: Named<PlayerEntry>;
  readonly sources: Named<SourceEntry>;
  readonly listeners: Named<ListenerEntry>;
  readonly mics: Named<MicEntry>;
  readonly passages: Named<readonly string[]>;
  readonly limits: LimitsEntry;
  readonly onHand: OnHandEntry;
  readonly floor: FloorEntry;
  readonly tolerance: ToleranceEntry;
};

/** °C and per cent of relative humidity. */
export type AirEntry = { readonly temperature?: number; readonly humidity?: number };
