/** The report of a plan: rows on its microphones, parts, people and rooms as plain values. */
import type { Weighting } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Vec3 } from '../geometry.ts';
import type { Later } from '../scene/scene.ts';
import type { Conclusion } from './conclusion.ts';
import type { JudgedCriterion } from './criteria.ts';
import type { EditGroups } from './edit-groups.ts';
import type { ExposureRow } from './exposure.ts';
import type { CueRow, HeadphoneLeakRow, Hearing } from './hearing.ts';
import type { InputRow } from './inputs.ts';
import type { MutingRow } from './muting.ts';
import type { RoomRow } from './rooms.ts';
import type { Sight } from './sight.ts';
import type { MicRow, PairRow } from './signal-to-bleed.ts';
import type { SpacingRow } from './spacing.ts';
import type { MainPairRow } from './stereo.ts';
import type { Timings } from './timing.ts';
import type { Basis, Verdict } from './verdict.ts';

/** Version of the model: one more with every change by which the same plan reaches other values or verdicts. */
export const MODEL = 2;

export type Report = {
  readonly title: string;
  readonly conclusion: Conclusion;
  readonly rooms: readonly RoomRow[];
  readonly sources: readonly SourceRow[];
  readonly mics: readonly MicRow[];
  readonly lines: readonly LineRow[];
  readonly pairs: readonly PairRow[];
  readonly threeToOne: readonly SpacingRow[];
  readonly parts: readonly PartRow[];
  readonly cut: EditGroups;
  readonly muting: readonly MutingRow[];
  readonly timing: Timings;
  readonly mainPairs: readonly MainPairRow[];
  readonly hearing: Hearing;
  readonly sight: Sight;
  readonly cues: readonly CueRow[];
  /** What players' headphones bring to each mic. */
  readonly phones: readonly HeadphoneLeakRow[];
  readonly exposure: readonly ExposureRow[];
  readonly inputs: readonly InputRow[];
  /** Whether the levels were measured that values about people and inputs rest on; null without measured levels. */
  readonly levelBasis: Basis | null;
  /** Every limit, and what is shown beside them, in the order of the table of criteria. */
  readonly criteria: readonly JudgedCriterion[];
  /** What is odd about the plan. */
  readonly planWarnings: readonly Finding[];
  /** Of safety, and how limits are judged. */
  readonly cautions: readonly Finding[];
};

/** A source where it is; of a section the middle. */
export type SourceRow = {
  readonly name: string;
  /** Who plays it, or null. */
  readonly player: string | null;
  readonly at: Vec3;
  /** Where it points, degrees. */
  readonly bearing: number;
  readonly tilt: number;
  readonly room: string | null;
};

export type LineRow = { readonly name: string; readonly for: readonly string[] };

export type ReadingsSummary = {
  /** As they were named. */
  readonly files: readonly string[];
  /** Octaves by number; one null for all together. */
  readonly layers: readonly (number | null)[];
  readonly weighting: Weighting;
  /** Who was measured, each as it was read: dB against the plan, in relation to the others of its group. */
  readonly measured: readonly {
    readonly name: string;
    readonly group: number;
    readonly level: { readonly value: number; readonly error: number };
    /** Several sources that were measured as one: between these nothing is known. */
    readonly measuredAsOne: boolean;
  }[];
  /** Sources whose level is the plan's. */
  readonly predicted: readonly string[];
  /** Of what neither levels nor gains explain, dB. */
  readonly rms: number;
  /** Outliers so far off that levels go without them, and all that count. */
  readonly outliers: number;
  readonly count: number;
  /** Of these, how many are left when levels and gains have taken theirs: with none nothing holds them against the plan. */
  readonly degreesOfFreedom: number;
  /** Readings too near to the noise to count. */
  readonly belowNoise: number;
};

/** Whether a part can be edited by itself. */
export type IsolationRow = Pick<PartRow, 'limit' | 'margin' | 'verdict' | 'remark'> & {
  /** The worst S/B of the part at any mic for it, dB; null where no other source sounds at any, or there is no mic. */
  readonly signalToBleed: number | null;
  /** Where that is, and when; null where the plan has no passages. */
  readonly mic: string | null;
  readonly passage: string | null;
};

export type PartRow = {
  readonly name: string;
  readonly later: Later;
  /** Mics and lines for it, alone or with others. */
  readonly mics: readonly string[];
  /** Its ghost: its level with its own mics muted, re the part in the mix, dB; null where the remark says why. */
  readonly ghost: number | null;
  /** Null where nobody asks for it: shown, not judged. */
  readonly limit: number | null;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
  /** Every mic of the part is shared; `because` has most of it. */
  readonly committed: { readonly because: string } | null;
  /** The mic with most of the ghost. */
  readonly loudestIn: string | null;
  /** The worst passage; null where the plan has none. */
  readonly passage: string | null;
  readonly isolation: IsolationRow;
  /** Ghost within its limit (−25 dB where none is given) and S/B of 10 dB at every mic for it; null without a mic. */
  readonly replaceable: boolean | null;
  /** Whether what its values rest on was measured; null without measured levels. */
  readonly basis: Basis | null;
};
