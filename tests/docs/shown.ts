/** What the pages show: every console block is a real run of the built command. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { spillcheck } from '../spillcheck.ts';
import { blocksIn } from './pages.ts';

/** A line of its own that ends a shown output which goes on. */
const GOES_ON = '…';

export type Shown = {
  /** The block as it stands in the page, fences and all. */
  readonly block: string;
  readonly command: string;
  readonly output: readonly string[];
  /** True where only the beginning is shown. */
  readonly cut: boolean;
  /** Prints what the command prints today, as `run` does. */
  readonly today: () => string[];
};

/** Console blocks of a page: "$ spillcheck …", or a script that the page shows, then its output. */
export function shownIn(page: string): Shown[] {
  return blocksIn(page)
    .filter(({ kind }) => kind === 'console')
    .map(({ whole, text }) => {
      const [first = '', ...lines] = text.trimEnd().split('\n');
      const command = first.replace(/^\$ /, '');
      const cut = lines.at(-1) === GOES_ON;
      const today = () => (command.startsWith('node ') ? runScript(command.slice(5), page) : run(command));
      return { block: whole, command, output: cut ? lines.slice(0, -1) : lines, cut, today };
    });
}

/** What the command prints today, at 80 columns and without colour; what it complains of, after it. */
export function run(command: string): string[] {
  const [program, ...words] = command.split(' ');
  if (program !== 'spillcheck') throw new Error(`not a command of ours: ${command}`);
  const env = { ...process.env, COLUMNS: '80', NO_COLOR: '1', FORCE_COLOR: undefined };
  const { stdout, stderr } = spillcheck(words, {
    env,
  });
  return `${stdout}${stderr}`.trimEnd().split('\n');
}

/** A script of the page, by the name in its first line. In `dist`, from where the package finds itself by name. */
function runScript(name: string, page: string): string[] {
  const script = blocksIn(page).find(({ kind, text }) => kind === 'js' && text.startsWith(`// ${name}\n`));
  if (!script) throw new Error(`the page shows no script ${name}`);
  const file = join(mkdtempSync(join('dist', 'page-')), name);
  writeFileSync(file, script.text);
  const { stdout, stderr } = spawnSync(process.execPath, [file], { encoding: 'utf8' });
  rmSync(dirname(file), { recursive: true });
  return `${stdout}${stderr}`.trimEnd().split('\n');
}

/** The block with today's output, as many lines of it as were shown. */
export function refreshed({ command, output, cut, today }: Shown): string {
  const lines = cut ? [...today().slice(0, output.length), GOES_ON] : today();
  return ['```console', `$ ${command}`, ...lines, '```'].join('\n');
}
