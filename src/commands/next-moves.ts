/** The moves that a report tells of: what `suggest` would put first. */
import { forMic } from '../advise/for-whom.ts';
import { plainAdvice } from '../advise/plain-advice.ts';
import { adviceOf, type SuggestOptions } from '../advise/suggest.ts';
import type { Answer } from '../render/answer.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import type { Judged } from './examine-plan.ts';
import { searchMoves } from './search-moves.ts';

const TOLD = 3;
/**
 * Sources times capsules times what stands in their way from which some hundred plans take longer than a report may: half a minute
 * and more. Eight walls weigh as much as a panel.
 */
const LARGE = 4000;

/** For the whole plan, or for some microphones. */
export async function nextMoves(judged: Judged, mics: readonly string[]): Promise<Answer['now']> {
  const { sources, capsules, panels, rooms } = judged.scene;
  const walls = rooms.reduce((sum, { outline }) => sum + outline.length, 0);
  if (sources.length * capsules.length * (1 + panels.length + walls / 8) > LARGE) return 'too large';
  const asked: SuggestOptions = {
    show: TOLD,
    ...(mics.length > 0 && { counts: forAny(judged.scene, mics) }),
  };
  const catalogue = shippedCatalogue();
  return plainAdvice(adviceOf(judged, catalogue, asked, await searchMoves(judged, catalogue, asked)));
}

function forAny(scene: Scene, mics: readonly string[]): NonNullable<SuggestOptions['counts']> {
  const tests = mics.map((name) => forMic(scene, name));
  return (row) => tests.some((test) => test(row));
}
