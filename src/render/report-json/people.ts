import type { CueRow } from '../../judge/people/cue.ts';
import type { ExposureRow } from '../../judge/people/exposure.ts';
import type { PhonesLeakRow } from '../../judge/people/headphones.ts';
import type { Hearing } from '../../judge/people/hearing.ts';
import type { Sight } from '../../judge/people/sight.ts';
import { rounded } from './rounded.ts';

export const hearingShape = ({ rows, limits }: Hearing) => ({
  rows: rows.map(({ player, listener, whom, passage, level, ratio, hears, remark }) => ({
    ...{
      player,
      listener,
      whom,
      passage,
      level_dba: rounded(level),
      ratio_db: rounded(ratio),
      hears,
      remark,
    },
  })),
  limits: limits.map(({ player, listener, whom, passage, level, ratio, ...judged }) => ({
    ...{ player, listener, whom, passage, level_dba: rounded(level), ratio_db: rounded(ratio) },
    margin_db: rounded(judged.margin),
    verdict: judged.verdict,
    needs_cue: judged.needsCue,
    remark: judged.remark,
  })),
});

export const sightShape = ({ rows, limits }: Sight) => ({
  rows: rows.map(({ players, sees, hiddenBy }) => ({ players, sees, hidden_by: hiddenBy })),
  limits: limits.map(({ players, sees, hiddenBy, verdict }) => ({
    ...{ players, sees, hidden_by: hiddenBy, verdict },
  })),
});

export const cueShape = ({ player, listener, wearing, carries, helps, himself }: CueRow) => ({
  ...{ player, listener, wearing, carries, helps },
  own_sound: himself,
});

export const leakShape = (row: PhonesLeakRow) => ({
  player: row.player,
  mic: row.mic,
  level_db: rounded(row.level),
  leak_db: rounded(row.leak),
  passage: row.passage,
  audible: row.audible,
  cue_level_dba: rounded(row.cueLevel),
  cue_level_guessed: row.guessed,
});

export const exposureShape = (row: ExposureRow) => ({
  player: row.player,
  minutes_niosh: rounded(row.minutes),
  minutes_osha: rounded(row.minutesOsha),
  level_dba: rounded(row.level),
  loudest: row.loudest && { passage: row.loudest.passage, level_dba: rounded(row.loudest.level) },
  cue_level_dba: rounded(row.cueLevel),
  margin_db: rounded(row.margin),
  verdict: row.verdict,
  remark: row.remark,
});
