import { Argument, type Command } from 'commander';
import { candidates } from './complete.ts';
import { EXIT_CODES } from './help-words.ts';
import { helpEnds } from './options.ts';

export function addCompletion(parent: Command): void {
  const completion = parent
    .command('completion')
    .summary('a script with which bash, zsh or fish complete what you type')
    .description('A script with which a shell completes commands, options and names of a plan.')
    .addArgument(
      new Argument('<shell>', 'the shell, or words: what could stand in place of the last word').choices([
        'bash',
        'zsh',
        'fish',
        'words',
      ]),
    )
    .argument('[word...]', 'after words --: a command line without its first word, quotes and all');
  helpEnds(
    completion,
    `\n${SCRIPTS}\n${WORDS}\nExample:\n  source <(spillcheck completion bash)\n\n${EXIT_CODES}`,
  );
  completion.action(async (shell: 'bash' | 'zsh' | 'fish' | 'words', words: readonly string[]) => {
    const { completionScript, completionWords } = await import('../commands/completion.ts');
    process.exitCode =
      shell === 'words'
        ? await completionWords((lookup) => candidates(parent, words, lookup))
        : await completionScript(shell);
  });
}

const SCRIPTS = `To keep it:
  bash  echo 'source <(spillcheck completion bash)' >> ~/.bashrc
  zsh   spillcheck completion zsh > a folder of $fpath, as _spillcheck
  fish  spillcheck completion fish > ~/.config/fish/completions/spillcheck.fish
`;

const WORDS = `Words:
  spillcheck completion words -- report plan.yaml --mic vo
  A line for each: the word, a tab, what it is. An empty word asks for a file.
`;
