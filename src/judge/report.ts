/** What `report` knows, as plain values: the only thing that render reads. */
import type { Finding } from '../finding.ts';
import type { Basis } from './basis.ts';
import type { InputRow } from './input-levels.ts';
import type { CutTogether } from './parts/cut-together.ts';
import type { PartRow } from './parts/parts.ts';
import type { CueRow } from './people/cue.ts';
import type { ExposureRow } from './people/exposure.ts';
import type { PhonesLeakRow } from './people/headphones.ts';
import type { Hearing } from './people/hearing.ts';
import type { Sight } from './people/sight.ts';
import type { LineRow, MicRow, PairRow, RoomRow, SpacingRow } from './rows.ts';
import type { MainPairRow } from './timing/main-pairs.ts';
import type { Timings } from './timing/timing.ts';

export type { Basis } from './basis.ts';
export type { LevelRow, LineRow, MicRow, PairRow, RoomRow, Shares, SpacingRow } from './rows.ts';
export type { Verdict } from './verdict.ts';

export type Report = {
  readonly title: string;
  readonly rooms: readonly RoomRow[];
  readonly mics: readonly MicRow[];
  readonly lines: readonly LineRow[];
  readonly pairs: readonly PairRow[];
  readonly threeToOne: readonly SpacingRow[];
  readonly parts: readonly PartRow[];
  readonly cut: CutTogether;
  readonly timing: Timings;
  readonly mainPairs: readonly MainPairRow[];
  readonly hearing: Hearing;
  readonly sight: Sight;
  readonly cues: readonly CueRow[];
  /** What players' headphones bring to each mic. */
  readonly phones: readonly PhonesLeakRow[];
  readonly exposure: readonly ExposureRow[];
  readonly inputs: readonly InputRow[];
  /** Whether the levels were measured that figures about people and inputs rest on; null without readings of the day. */
  readonly levelBasis: Basis | null;
  readonly cautions: readonly Finding[];
};
