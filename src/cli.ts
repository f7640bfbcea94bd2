/** From the command line to a command; every command loads only when it is called. */
import { Command, CommanderError } from 'commander';
import about from '../package.json' with { type: 'json' };
import { commandGroups } from './cli/commands.ts';
import { ALL_EXIT_CODES, aboutOf, addCommand, ENVIRONMENT, examplesOf } from './cli/options.ts';
import { folderGone, say, sayHarmless, tolerateClosedPipes } from './io/terminal.ts';

const BAD_USAGE = 2;
const INTERNAL_ERROR = 70;

async function main(argv: readonly string[]): Promise<void> {
  tolerateClosedPipes();
  try {
    await program().parseAsync(argv);
  } catch (error) {
    // asking for help or the version is no mistake; all else that commander refuses is
    if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : BAD_USAGE;
    else process.exitCode = await failed(error);
  }
}

async function failed(error: unknown): Promise<number> {
  const gone = folderGone(error);
  if (!gone) return internalError(error);
  await say(`spillcheck: ${gone.code} ${gone.message}\n  fix: ${gone.fix}\n`);
  return BAD_USAGE;
}

async function internalError(error: unknown): Promise<number> {
  const [message, stack] = error instanceof Error ? [error.message, error.stack] : [String(error), undefined];
  const fix = 'please report it with your plan; SPILLCHECK_DEBUG=1 shows where it happened';
  await sayHarmless(`spillcheck: internal error: ${message.split('\n')[0]}\n  fix: ${fix}\n`);
  if (process.env.SPILLCHECK_DEBUG === '1' && stack) await say(`${stack}\n`);
  return INTERNAL_ERROR;
}

const FIRST_STEPS = 'spillcheck start -o plan.yaml && spillcheck report plan.yaml';

function program(): Command {
  const command = new Command('spillcheck')
    .description('Predicts, from a floor plan, how much of every player each mic picks up.')
    .exitOverride()
    .configureOutput({ writeErr: (text) => void sayHarmless(text) })
    .version(about.version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'show this help')
    .showSuggestionAfterError()
    .configureHelp({ subcommandTerm: termOf, optionDescription: aboutOf, argumentDescription: aboutOf })
    .addHelpText('after', `\n${examplesOf([FIRST_STEPS])}\n${ALL_EXIT_CODES}\n${ENVIRONMENT}`);
  for (const [title, specs] of Object.entries(commandGroups(command))) {
    command.commandsGroup(`${title}:`);
    for (const spec of specs) addCommand(command, spec);
  }
  command.commandsGroup('Help:').helpCommand('help [command]', 'help for a command');
  return command;
}

/** Every command has options: what it is about is worth the room. */
const termOf = (command: Command): string =>
  `${command.name()} ${command.usage().replace('[options]', '')}`.replaceAll(/ +/g, ' ').trim();

await main(process.argv);
