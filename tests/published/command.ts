import { spillcheck } from '../spillcheck.ts';

export type ReportedMic = {
  readonly name: string;
  readonly signal_db: number | null;
  readonly bleed_db: number | null;
  readonly signal_to_bleed_db: number | null;
  readonly baffle_gain_max_db: number | null;
  readonly verdict: string | null;
  readonly levels: readonly {
    readonly source: string;
    readonly level_db: number | null;
    readonly bands_db: readonly (number | null)[];
    readonly distance_m: number;
    readonly mic_off_axis_deg: number;
  }[];
};

export type Reported = {
  readonly mics: readonly ReportedMic[];
  readonly rooms: readonly {
    readonly volume_m3: number;
    readonly rt60_sabine_s: readonly number[];
    readonly rt60_eyring_s: readonly number[];
    readonly critical_distance_m: number;
    readonly schroeder_hz: number;
    readonly clap: Readonly<Record<'early_decay_s' | 'rt60_from_s' | 'rt60_to_s', readonly number[]>> | null;
  }[];
  readonly three_to_one: readonly { readonly ratio: number; readonly margin_db: number }[];
};

/** What `spillcheck report - --json` says; throws with its complaint where it refuses the plan. */
export const reported = (plan: string): Reported => answered('-', plan);

/** The same of a plan in a file, which may lie over a studio. */
export const reportedFile = (file: string): Reported => answered(file);

function answered(file: string, input = ''): Reported {
  const { status, stdout, stderr } = spillcheck(['report', file, '--json'], { input });
  if (status !== 0) throw new Error(stderr);
  return JSON.parse(stdout) as Reported;
}

/** Level in dB of a source at a mic; null where it is silent there. */
export function levelAt(report: Reported, mic: string, source: string): number | null {
  const row = report.mics.find(({ name }) => name === mic)?.levels.find((level) => level.source === source);
  if (!row) throw new Error(`no row of ${source} at ${mic}`);
  return row.level_db;
}
