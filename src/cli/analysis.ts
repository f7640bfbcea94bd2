import { Argument, type Command, Option } from 'commander';
import type { CheckOptions } from '../commands/check.ts';
import type { CompareOptions } from '../commands/compare.ts';
import type { ReportOptions } from '../commands/report.ts';
import type { SuggestCommandOptions } from '../commands/suggest.ts';
import type { TryOptions } from '../commands/sweep.ts';
import type { WhyCommandOptions } from '../commands/why.ts';
import { SECTIONS } from '../report/answer.ts';
import {
  beyondFolder,
  CHECK_EXIT_CODES,
  COMPARE_EXIT_CODES,
  collect,
  collectAll,
  EXIT_CODES,
  helpEnds,
  maybeWatched,
  offering,
  outputFile,
  PLAN_OR_READINGS,
  planArgument,
  positive,
  readings,
  stdinName,
  type Watched,
  watch,
} from './options.ts';

export function addWhy(parent: Command): void {
  const why = parent
    .command('why')
    .summary('every way of a source to a microphone, gain by gain')
    .description('Why a source is as loud in a microphone as it is: every way of it, by octave.')
    .addArgument(planArgument());
  why
    .optionsGroup('What is asked:')
    .addOption(
      offering(
        new Option(
          '--mic <name>',
          'microphone, pair, one capsule of it (overheads.left) or line',
        ).makeOptionMandatory(),
        { from: 'plan', names: 'capsules' },
      ),
    )
    .addOption(
      offering(new Option('--source <name>', 'source, kit, part or player').makeOptionMandatory(), {
        from: 'plan',
        names: 'sources',
      }),
    )
    .option('--all', 'every way by octave, and of every piece of a kit')
    .optionsGroup('Where to and how:')
    .option('--json', 'as JSON (shape: shared/schemas/why.schema.json)')
    .addOption(outputFile())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    why,
    `\nExample:\n  spillcheck why session.yaml --mic vocal --source drums.snare\n\n${EXIT_CODES}`,
  );
  why.action(async (plan: string, options: WhyCommandOptions) => {
    const { runWhy: run } = await import('../commands/why.ts');
    process.exitCode = await run(plan, options);
  });
}

export function addTry(parent: Command): void {
  const tries = parent
    .command('try')
    .summary('vary any value of a plan over a range or list, a row of figures each')
    .description('Varies values of a plan: a row of figures for every combination, as they come.')
    .addArgument(planArgument());
  tries
    .optionsGroup('What is tried:')
    .addOption(
      offering(
        new Option(
          '--each <path=values>',
          'an entry with 0..350/10, 10..50/5 cm or a list; ~ takes it out; may be repeated',
        )
          .default([], 'none')
          .argParser(collect),
        { from: 'paths' },
      ),
    )
    .option('--random <count>', 'so many combinations at random instead of all')
    .option('--seed <number>', 'of what is drawn', '1')
    .option('--slice <part/parts>', 'only one part of all rows, so that several can share the work', '1/1')
    .optionsGroup('What is shown:')
    .addOption(
      offering(
        new Option(
          '--show <column>',
          'worst-margin, shortfall, signal-to-bleed.MIC, ghost.PART, editable.PART, hears.A.B; may be repeated',
        )
          .default([], 'worst-margin, shortfall and signal-to-bleed of every mic')
          .argParser(collect),
        { from: 'columns' },
      ),
    )
    .option('--best <count>', 'only so many of the best rows, best first')
    .addOption(offering(new Option('--by <column>', 'by which column'), { from: 'columns' }))
    .optionsGroup('How:')
    .addOption(
      offering(new Option('--format <name>', 'csv or ndjson').default('csv'), {
        from: 'words',
        words: ['csv', 'ndjson'],
      }),
    )
    .option('--json', 'the same as --format ndjson (shape: shared/schemas/try.schema.json)')
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    tries,
    `\nExample:\n  spillcheck try session.yaml --each 'mics.vocal.aim.bearing=0..350/10' \\\n    --each 'mics.vocal.pattern=cardioid, figure-8' --best 5 --by worst-margin\n\n${EXIT_CODES}`,
  );
  tries.action(async (plan: string, options: TryOptions) => {
    const { tryValues } = await import('../commands/sweep.ts');
    process.exitCode = await tryValues(plan, options);
  });
}

export function addSuggest(parent: Command): void {
  const suggest = parent
    .command('suggest')
    .summary('moves that better a plan, each computed, best for its effort first')
    .description('Moves that better a plan, each computed, best for its effort first.')
    .addArgument(planArgument());
  suggest
    .optionsGroup('What is asked:')
    .addOption(readings())
    .addOption(
      offering(new Option('--for <mic>', 'only what betters this microphone'), {
        from: 'plan',
        names: 'mics',
      }),
    )
    .addOption(
      offering(new Option('--for-part <part>', 'only what betters this part and its microphones'), {
        from: 'plan',
        names: 'parts',
      }),
    )
    .option('--moves <count>', 'sets of up to so many moves, 1 to 5', '1')
    .option('--robust', 'rank by what holds on nine of ten days within the tolerance; takes a while')
    .addOption(
      new Option('--minutes <move=minutes>', 'what a kind of move takes; may be repeated')
        .default([], 'high-pass 0.5 to other-room 20')
        .argParser(collect),
    )
    .optionsGroup('Where to and how:')
    .addOption(
      offering(
        new Option(
          '--apply <which>',
          'write the plan with a suggestion made, by its number, or all that go together',
        ),
        { from: 'words', words: ['all'] },
      ),
    )
    .option('--in-place', 'with --apply: into the plan itself')
    .option('--all', 'every suggestion, with all it helps and costs')
    .option('--json', 'as JSON (shape: shared/schemas/suggest.schema.json)')
    .addOption(outputFile())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(suggest, `\nExample:\n  spillcheck suggest session.yaml --moves 2 --for vocal\n\n${EXIT_CODES}`);
  suggest.action(async (plan: string, options: SuggestCommandOptions) => {
    const { suggest: run } = await import('../commands/suggest.ts');
    process.exitCode = await run(plan, options);
  });
}

export function addReport(parent: Command): void {
  const report = parent
    .command('report')
    .summary('what cannot be fixed later, signal to bleed, who hears whom, pitfalls')
    .description('What cannot be fixed later, signal to bleed of every mic, people and pitfalls.')
    .addArgument(planArgument());
  report
    .optionsGroup('Judged by:')
    .addOption(readings())
    .optionsGroup('How much is shown:')
    .addOption(
      offering(
        new Option('--mic <name>', 'only this microphone, pair or line, in full; may be repeated')
          .default([], 'every one')
          .argParser(collect),
        { from: 'plan', names: 'mics' },
      ),
    )
    .addOption(
      offering(new Option('--passage <name>', 'only this passage of the plan'), {
        from: 'plan',
        names: 'passages',
      }),
    )
    .addOption(
      offering(
        new Option('--show <sections>', `these in full: ${SECTIONS.join(', ')}`)
          .default([], 'the answers in brief')
          .argParser(collectAll),
        { from: 'words', words: SECTIONS, list: true },
      ),
    )
    .option('--all', 'every section, microphone and bleeder, nothing shortened')
    .option('--bands', 'levels and reverberation by octave as well')
    .option('--assumptions', 'list what was assumed where the plan is silent')
    .option('--tolerance', 'how far figures may be off on the day, and how likely limits hold; takes a while')
    .option('--no-moves', 'do not look for moves that better the plan')
    .option('--no-plan', 'leave the small plan in characters out')
    .optionsGroup('Delays:')
    .addOption(
      new Option('--carried-within <dB>', 'a microphone counts that has a part so far under its own')
        .default(20, '20')
        .argParser(positive),
    )
    .addOption(
      new Option('--sample-rate <hz>', 'samples per second').default(48000, '48000').argParser(positive),
    )
    .optionsGroup('Where to and how:')
    .option('--json', 'as JSON (shape: shared/schemas/report.schema.json)')
    .addOption(
      offering(
        new Option(
          '--html <file>',
          'as one self-contained page with the drawing; - is standard output',
        ).conflicts(['json', 'output']),
        { from: 'files' },
      ),
    )
    .addOption(outputFile())
    .addOption(watch(PLAN_OR_READINGS))
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(report, `\nExample:\n  spillcheck report session.yaml --mic vocal --bands\n\n${EXIT_CODES}`);
  report.action(async (plan: string, options: ReportOptions & Watched) => {
    const { report: run } = await import('../commands/report.ts');
    process.exitCode = await maybeWatched([plan], options, () => run(plan, options));
  });
}

export function addCompare(parent: Command): void {
  const compare = parent
    .command('compare')
    .summary('plans side by side: what changes, and what makes the change')
    .description('Plans side by side: what changes, and the entries that make the change.')
    .addArgument(
      offering(new Argument('<plan...>', 'two plan files (YAML) or more; - for one from standard input'), {
        from: 'files',
      }),
    );
  compare
    .optionsGroup('What counts:')
    .addOption(
      readings('levels of the day, read in the first plan; what others change about a level comes on top'),
    )
    .addOption(noWorseThan())
    .option('--within <dB>', 'smaller losses than this are none', '0.1')
    .optionsGroup('Where to and how:')
    .option('--all', 'what does not change as well')
    .option('--json', 'as JSON (shape: shared/schemas/compare.schema.json)')
    .addOption(outputFile())
    .addOption(beyondFolder())
    .addOption(stdinName());
  helpEnds(
    compare,
    `\nExample:\n  spillcheck compare before.yaml after.yaml --no-worse-than before.yaml\n\n${COMPARE_EXIT_CODES}`,
  );
  compare.action(async (plans: readonly string[], options: CompareOptions) => {
    const { runCompare: run } = await import('../commands/compare.ts');
    process.exitCode = await run(plans, options);
  });
}

/** To commander an option that begins with --no- takes another back. */
function noWorseThan(): Option {
  const option = new Option('--no-worse-than <plan>', 'one of them: exit 1, and why, where another is worse');
  option.negate = false;
  return offering(option, { from: 'files' });
}

export function addCheck(parent: Command): void {
  const check = parent
    .command('check')
    .summary('whether plans meet their limits')
    .description('Whether plans meet their limits, worst first.')
    .addArgument(
      offering(
        new Argument(
          '<plan...>',
          'plan files (YAML), patterns such as "plans/**/*.yaml", or - for standard input',
        ),
        { from: 'files' },
      ),
    );
  check
    .optionsGroup('What counts:')
    .option('--strict', 'a limit met by less than 3 dB counts as missed')
    .addOption(readings())
    .optionsGroup('How it is told:')
    .option('--all', 'what is clearly met is listed, too')
    .addOption(watch(PLAN_OR_READINGS))
    .addOption(beyondFolder())
    .addOption(stdinName())
    .optionsGroup('For build servers:')
    .addOption(
      offering(
        new Option('--format <name[=file]>', 'text, json, junit, sarif or annotations; may be repeated')
          .default([], 'text on standard output')
          .argParser(collect),
        { from: 'words', words: ['text', 'json', 'junit', 'sarif', 'annotations'] },
      ),
    )
    .option('--json', 'the same as --format json (shape: shared/schemas/check.schema.json)');
  helpEnds(check, `\nExample:\n  spillcheck check "plans/*.yaml" --strict\n\n${CHECK_EXIT_CODES}`);
  check.action(async (plans: readonly string[], options: CheckOptions & Watched) => {
    const { check: run } = await import('../commands/check.ts');
    process.exitCode = await maybeWatched(plans, options, () => run(plans, options));
  });
}
