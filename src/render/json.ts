/** The report as JSON, shape version 1: shared/schemas/report.schema.json. Keys may be added within a version. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Answer } from './answer.ts';
import { hearingCaution } from './hearing.ts';
import { jsonText } from './json-text.ts';
import type { RenderOptions } from './options.ts';
import { basisShape, readingsShape } from './readings-json.ts';
import { micShape, pairShape, roomShape, spacingShape } from './report-json/mics.ts';
import { cutShape, mainPairShape, partShape, timingShape } from './report-json/parts.ts';
import { cueShape, exposureShape, hearingShape, leakShape, sightShape } from './report-json/people.ts';
import { inputShape, nowShape, pitfallShape, toleranceShape } from './report-json/rest.ts';

/** Whole, whatever sections a page would show. */
export function json(answer: Answer, { listAssumptions }: Pick<RenderOptions, 'listAssumptions'>): string {
  const { title, passage, rooms, mics, pairs, lines, threeToOne, tolerances, assumptions } = answer;
  const shape = {
    spillcheck: 1,
    command: 'report',
    title,
    bands_hz: NOMINAL_BANDS,
    rooms: rooms.map(roomShape),
    mics: mics.map(micShape),
    pairs: pairs.map(pairShape),
    lines: lines.map((line) => ({ name: line.name, for: line.for })),
    three_to_one: threeToOne.map(spacingShape),
    cautions: cautionShapes(answer),
    passage,
    ...partsAndPeople(answer),
    what_to_do_now: nowShape(answer.now),
    tolerance: tolerances && toleranceShape(tolerances),
    pitfalls: answer.pitfalls.map(pitfallShape),
    readings: readingsShape(answer.readings),
    level_basis: basisShape(answer.levelBasis),
    ...(listAssumptions
      ? { assumptions: assumptions.map(({ path, kind, text }) => ({ path, kind, text })) }
      : {}),
  };
  return `${jsonText(shape, 2)}\n`;
}

const partsAndPeople = (answer: Answer) => ({
  parts: answer.parts.map(partShape),
  cut_together: cutShape(answer.cut),
  timing: timingShape(answer.timing),
  main_pairs: answer.mainPairs.map(mainPairShape),
  hearing: hearingShape(answer.hearing),
  sight: sightShape(answer.sight),
  cues: answer.cues.map(cueShape),
  headphone_leaks: answer.phones.map(leakShape),
  exposure: answer.exposure.map(exposureShape),
  inputs: answer.inputs.map(inputShape),
});

function cautionShapes(answer: Answer) {
  const hearing = hearingCaution(answer);
  const last: Finding[] =
    hearing === null ? [] : [{ code: 'CAUTION', severity: 'warning', path: [], message: hearing }];
  return [...answer.cautions, ...last].map(({ code, path, message, mend }) => ({
    code,
    path,
    message,
    mend: mend ?? null,
  }));
}
