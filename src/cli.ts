/** The command line; each command loads only when it is called. */
import { Command, CommanderError } from 'commander';
import about from '../package.json' with { type: 'json' };
import { commandGroups } from './cli/commands.ts';
import { ALL_EXIT_CODES, aboutOf, addCommand, ENVIRONMENT, examplesOf, misuse } from './cli/options.ts';
import type { Finding } from './finding.ts';
import { folderGone, say, sayHarmless, tolerateClosedPipes } from './io/terminal.ts';

const BAD_USAGE = 2;
const INTERNAL_ERROR = 70;

async function main(argv: readonly string[]): Promise<void> {
  tolerateClosedPipes();
  const top = program();
  try {
    await top.parseAsync(argv);
  } catch (error) {
    const command = top.commands.find((one) => one.name() === argv[2]) ?? top;
    const isUsage = error instanceof CommanderError;
    process.exitCode = await (isUsage ? misused(error, command) : failed(error));
  }
}

/** Help and the version come as errors, too: they have been shown, and of them only help in place of a command is a mistake. */
async function misused(error: CommanderError, command: Command): Promise<number> {
  if (error.exitCode === 0) return 0;
  if (error.code !== 'commander.help') await tell(misuse(error, command));
  return BAD_USAGE;
}

async function failed(error: unknown): Promise<number> {
  const gone = folderGone(error);
  if (!gone) return internalError(error);
  await tell(gone);
  return BAD_USAGE;
}

const tell = ({ code, message, fix }: Finding) =>
  sayHarmless(`spillcheck: ${code} ${message}\n  fix: ${fix}\n`);

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
    .configureOutput({ writeErr: (text) => void sayHarmless(text), outputError: () => {} })
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

/** Every command has options, so the term leaves them out. */
const termOf = (command: Command): string =>
  `${command.name()} ${command.usage().replace('[options]', '')}`.replaceAll(/ +/g, ' ').trim();

await main(process.argv);
