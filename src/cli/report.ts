import { type Command, Option } from 'commander';
import type { ReportOptions } from '../commands/report.ts';
import { SECTIONS } from '../render/sections.ts';
import { EXIT_CODES } from './help-words.ts';
import { offering } from './offers.ts';
import {
  beyondFolder,
  collect,
  collectAll,
  helpEnds,
  outputFile,
  PLAN_OR_READINGS,
  planFile,
  positive,
  readings,
  stdinName,
  watch,
} from './options.ts';
import { maybeWatched, type Watched } from './watched.ts';

export function addReport(parent: Command): void {
  const report = parent
    .command('report')
    .summary('what cannot be fixed later, signal to bleed, who hears whom, pitfalls')
    .description('What cannot be fixed later, signal to bleed of every mic, people and pitfalls.')
    .addArgument(planFile());
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
