/** `spillcheck suggest`: what to move so that limits are met, each move computed. */
import { computed } from '../advise/bench-plan.ts';
import { plainAdvice } from '../advise/plain-advice.ts';
import { type SuggestOptions as Asked, adviceOf } from '../advise/suggest.ts';
import { refusal } from '../finding.ts';
import { wantsColour, widthOf } from '../io/terminal.ts';
import { laidOver } from '../linecheck/lay-over.ts';
import { suggestJson } from '../render/suggest-json.ts';
import { suggestText } from '../render/text/suggest.ts';
import { shippedCatalogue } from '../shipped.ts';
import { applyMoves } from './apply-moves.ts';
import { deliver, overwritesPlan } from './deliver.ts';
import { dayFrom, readsTwice } from './line-check-day.ts';
import { openPlan } from './open-plan.ts';
import { planFile } from './plan-file.ts';
import { refuse, refused } from './refuse.ts';
import { searchMoves } from './search-moves.ts';
import { askedOf, type SuggestOptions } from './suggest-options.ts';

/** Exit code: 0 done, also where there is nothing to suggest; 2 refused. */
export async function suggest(file: string, options: SuggestOptions): Promise<0 | 2> {
  if (await overwritesPlan(file, options.output)) return 2;
  const open = await openPlan(planFile(file, options));
  if (!open || (await readsTwice([file], options.readings))) return 2;
  const day = options.readings.length > 0 ? await dayFrom(options.readings, open.scene) : null;
  if (options.readings.length > 0 && !day) return 2;
  const base = computed(day ? { ...open, lay: (scene) => laidOver(scene, day) } : open);
  const asked = askedOf(options, base);
  if (isRefused(asked)) {
    for (const finding of asked) await refuse(finding);
    return 2;
  }
  const catalogue = shippedCatalogue();
  const advice = adviceOf(base, catalogue, asked, await searchMoves(base, catalogue, asked));
  if (options.apply !== undefined && !advice.whole) {
    return refused(
      refusal('the search was stopped before its end, and nothing was written', 'let it come to its end'),
    );
  }
  if (options.apply !== undefined) {
    const job = { open, base, catalogue, asked, advice };
    return applyMoves(job, options.apply, options.inPlace ? file : options.output);
  }
  const plain = plainAdvice(advice);
  const readings = day && { ...day.told, files: options.readings };
  const shown = options.json
    ? suggestJson(plain, readings)
    : suggestText(plain, { ...pageOf(options), readings });
  return deliver(shown, options.output);
}

const isRefused = (asked: ReturnType<typeof askedOf>): asked is Exclude<typeof asked, Asked> =>
  Array.isArray(asked);

/** A file gets neither colour nor the terminal's width. */
function pageOf({ output, all }: SuggestOptions) {
  const { stdout, env } = process;
  return {
    width: widthOf(output === '-' ? stdout : {}, env),
    colour: output === '-' && wantsColour(stdout, env),
    all: all === true,
  };
}
