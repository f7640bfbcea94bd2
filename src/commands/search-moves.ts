/** The search for moves as whoever waits sees it: how far it is, and an end at any time. */
import type { Computed } from '../advise/bench-plan.ts';
import type { Found } from '../advise/search.ts';
import { type SuggestOptions, suggesting } from '../advise/suggest.ts';
import { announce } from '../io/progress.ts';
import type { Catalogue } from '../scene/catalogue.ts';

/** Milliseconds of work between two pauses, in which an interrupt can come. */
const STRETCH = 100;

/** An interrupt (Ctrl-C) ends the search, and what was found until then is told. */
export async function searchMoves(
  base: Computed,
  catalogue: Catalogue,
  asked: SuggestOptions,
): Promise<{ readonly found: Found; readonly whole: boolean }> {
  const stop = { asked: false };
  const interrupt = () => {
    stop.asked = true;
  };
  process.once('SIGINT', interrupt);
  const steps = suggesting(base, catalogue, asked);
  let done = () => {};
  let paused = performance.now();
  let step = steps.next();
  while (!step.done && !stop.asked) {
    if (performance.now() - paused > STRETCH) {
      done();
      done = announce(`${step.value.tried} plans computed, sets of ${step.value.size} …`);
      await new Promise((resume) => setImmediate(resume));
      paused = performance.now();
    }
    step = steps.next();
  }
  done();
  process.off('SIGINT', interrupt);
  return { found: step.value, whole: step.done === true };
}
