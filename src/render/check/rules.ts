/** What each limit and each code of a finding stands for, as a rule that a machine can list. */
import type { FindingCode } from '../../finding.ts';
import type { LimitKind } from '../../judge/limits/limit-row.ts';

export const RULES: Readonly<Record<LimitKind | FindingCode, string>> = {
  'signal-to-bleed': 'Every microphone hears its own source louder than the bleed, by its limit.',
  'three-to-one': 'Microphones for different sources are several times as far apart as from their sources.',
  ghost: 'Little enough stays of a part once its own microphones are muted.',
  editable: 'Every microphone for a part hears it alone enough for it to be edited alone.',
  'see-each-other': 'Those who must see each other do.',
  hear: 'Those who must hear somebody do, by air.',
  'session-length': 'The session is no longer than ears should bear it.',
  FILE_UNREADABLE: 'The file can be read.',
  PLAN_SYNTAX: 'The plan is YAML.',
  PLAN_VERSION: 'The plan says a version that is known.',
  UNKNOWN_KEY: 'Every key is part of the plan format.',
  WRONG_SHAPE: 'Every value has the shape that its key takes.',
  BAD_QUANTITY: 'Every quantity can be read.',
  BAD_RANGE: 'Every number lies where it makes sense.',
  BAD_NAME: 'Every name is allowed, and stands for one thing.',
  UNKNOWN_NAME: 'Every name that is used is there.',
  MISSING: 'Every value that is needed is given.',
  BAD_PLACE: 'Every thing stands where it can.',
  CAUTION: 'Nothing was computed that is worth a word.',
};
