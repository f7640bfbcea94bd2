/** `spillcheck suggest`: what to move so that limits are met, each move computed. */
import { type Computed, computed } from '../advise/bench-plan.ts';
import type { Found } from '../advise/search.ts';
import { type SuggestOptions as Asked, adviceOf, suggesting } from '../advise/suggest.ts';
import { announce } from '../io/progress.ts';
import { wantsColour, widthOf } from '../io/terminal.ts';
import { suggestJson } from '../render/suggest-json.ts';
import { suggestText } from '../render/text/suggest.ts';
import type { Catalogue } from '../scene/catalogue.ts';
import { shippedCatalogue } from '../shipped.ts';
import { applyMoves } from './apply-moves.ts';
import { deliver, overwritesPlan } from './deliver.ts';
import { openPlan } from './open-plan.ts';
import { refuse } from './refuse.ts';
import { askedOf, type SuggestOptions } from './suggest-options.ts';

/** Exit code: 0 done, also where there is nothing to suggest; 2 refused. */
export async function suggest(file: string, options: SuggestOptions): Promise<0 | 2> {
  if (await overwritesPlan(file, options.output)) return 2;
  const open = await openPlan(file, file === '-' ? options.stdinName : file);
  if (!open) return 2;
  const base = computed(open);
  const asked = askedOf(options, base);
  if (isRefused(asked)) {
    for (const finding of asked) await refuse(finding);
    return 2;
  }
  const catalogue = shippedCatalogue();
  const advice = adviceOf(base, catalogue, asked, await search(base, catalogue, asked));
  if (options.apply !== undefined) {
    const job = { file, open, base, catalogue, asked, advice };
    return applyMoves(job, options.apply, options.inPlace ? file : options.output);
  }
  const shown = options.json ? suggestJson(advice) : suggestText(advice, pageOf(options));
  return deliver(shown, options.output);
}

const isRefused = (asked: ReturnType<typeof askedOf>): asked is Exclude<typeof asked, Asked> =>
  Array.isArray(asked);

/** Milliseconds of work between two pauses, in which an interrupt can come. */
const STRETCH = 100;

/** An interrupt (Ctrl-C) ends the search, and what was found until then is told. */
async function search(
  base: Computed,
  catalogue: Catalogue,
  asked: Asked,
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

/** A file gets neither colour nor the terminal's width. */
function pageOf({ output, all }: SuggestOptions) {
  const { stdout, env } = process;
  return {
    width: widthOf(output === '-' ? stdout : {}, env),
    colour: output === '-' && wantsColour(stdout, env),
    all: all === true,
  };
}
