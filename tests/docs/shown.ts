/** What the README shows: every console block is a real run of the built command. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

export const README = 'README.md';

/** A line of its own that ends a shown output which goes on. */
const GOES_ON = '…';

export type Shown = {
  /** The block as it stands in the README, fences and all. */
  readonly block: string;
  readonly command: string;
  readonly output: readonly string[];
  /** True where only the beginning is shown. */
  readonly cut: boolean;
};

/** Console blocks of a text: "$ spillcheck …", then its output. */
export function shownIn(text: string): Shown[] {
  return [...text.matchAll(/^```console\n\$ (.*)\n([\s\S]*?)^```$/gm)].map(
    ([block, command = '', shown = '']) => {
      const lines = shown.trimEnd().split('\n');
      const cut = lines.at(-1) === GOES_ON;
      return { block, command, output: cut ? lines.slice(0, -1) : lines, cut };
    },
  );
}

/** What the command prints today, at 80 columns and without colour; what it complains of, after it. */
export function run(command: string): string[] {
  const [program, ...words] = command.split(' ');
  if (program === 'node') return runScript(words[0] ?? '');
  if (program !== 'spillcheck') throw new Error(`not a command of ours: ${command}`);
  const env = { ...process.env, COLUMNS: '80', NO_COLOR: '1', FORCE_COLOR: undefined };
  const { stdout, stderr } = spawnSync(process.execPath, ['bin/spillcheck.js', ...words], {
    encoding: 'utf8',
    env,
  });
  return `${stdout}${stderr}`.trimEnd().split('\n');
}

/** A script that the README shows, by the name in its first line. In `dist`, from where the package finds itself by name. */
function runScript(name: string): string[] {
  const [, script] = new RegExp(`^\`\`\`js\\n(// ${name}\\n[\\s\\S]*?)^\`\`\`$`, 'm').exec(readme()) ?? [];
  if (script === undefined) throw new Error(`the README shows no script ${name}`);
  const file = join(mkdtempSync(join('dist', 'readme-')), name);
  writeFileSync(file, script);
  const { stdout, stderr } = spawnSync(process.execPath, [file], { encoding: 'utf8' });
  rmSync(dirname(file), { recursive: true });
  return `${stdout}${stderr}`.trimEnd().split('\n');
}

/** The block with today's output, as many lines of it as were shown. */
export function refreshed({ command, output, cut }: Shown): string {
  const today = run(command);
  const lines = cut ? [...today.slice(0, output.length), GOES_ON] : today;
  return ['```console', `$ ${command}`, ...lines, '```'].join('\n');
}

export const readme = (): string => readFileSync(README, 'utf8');
