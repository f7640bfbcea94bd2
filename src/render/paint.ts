import { Chalk } from 'chalk';

/** Ways to set off text. Never the only sign of anything: every verdict is also a word. */
export type Paint = {
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  readonly clear: (text: string) => string;
  readonly marginal: (text: string) => string;
  readonly short: (text: string) => string;
};

export function paint(colour: boolean): Paint {
  const chalk = new Chalk({ level: colour ? 1 : 0 });
  return {
    strong: (text) => chalk.bold(text),
    faint: (text) => chalk.dim(text),
    clear: (text) => chalk.green(text),
    marginal: (text) => chalk.yellow(text),
    short: (text) => chalk.red.bold(text),
  };
}
