/** `spillcheck start`: a plan to start from, its comments telling what to write next. */
import { isPlainFile, wayTo } from '../io/way-to.ts';
import { planSchemaFile, type Starter, shippedStarter } from '../shipped.ts';
import { deliver } from './deliver.ts';
import { refused } from './refuse.ts';

export type StartOptions = { readonly room: Starter; readonly output: string; readonly overwrite?: true };

/** Exit code: 0 done, 2 not written. */
export async function start({ room, output, overwrite }: StartOptions): Promise<0 | 2> {
  const toFile = output !== '-';
  if (toFile && !overwrite && isPlainFile(output)) return refused(taken(output));
  const name = toFile ? output : 'plan.yaml';
  const [, ...lines] = shippedStarter(room).split('\n');
  const modeline = `# yaml-language-server: $schema=${wayTo(planSchemaFile(), name)}`;
  return deliver([modeline, ...lines].join('\n').replaceAll(' plan.yaml', ` ${name}`), output);
}

const taken = (file: string) =>
  ({
    code: 'FILE_UNREADABLE',
    severity: 'error',
    path: [],
    message: `${file} is there already`,
    mend: 'name another file, or add --overwrite to put the new plan in its place',
  }) as const;
