/** `--watch`: a command run again on every save, until Ctrl-C. */
import { filesRead } from '../io/files-read.ts';
import { fromHere } from '../io/plan-files.ts';
import { clearBeforeAnswers, say } from '../io/streams.ts';
import { watch } from '../io/watch.ts';
import { visible } from '../plan/visible.ts';
import { counted } from '../render/words.ts';
import { refuse } from './refuse.ts';

/**
 * Exit code: 0 after Ctrl-C, however the last run went; that of a run that read no file, as with a wrong option. A run that is refused writes
 * nothing, so that the last good answer stands, with what is wrong below it.
 */
export async function againOnSave<Code extends number>(
  plans: readonly string[],
  run: () => Promise<Code>,
): Promise<Code | 0 | 2> {
  if (plans.includes('-')) {
    await refuse(STANDARD_INPUT);
    return 2;
  }
  clearBeforeAnswers();
  let code: Code | 0 = 0;
  await watch(async (changed) => {
    if (changed.length > 0)
      await say(`${changed.map((file) => visible(fromHere(file))).join(', ')} changed\n`);
    const last = await run();
    if (filesRead().length > 0) return looksOn();
    code = last;
    return 'stop';
  });
  return code;
}

async function looksOn(): Promise<'go on'> {
  await say(`${lookingAt(filesRead())}\n`);
  return 'go on';
}

const STANDARD_INPUT = {
  code: 'FILE_UNREADABLE',
  severity: 'error',
  path: [],
  message: '--watch: a plan from standard input cannot be watched',
  mend: 'name a file',
} as const;

function lookingAt([first = '', ...more]: readonly string[]): string {
  const others = more.length > 0 ? ` and ${counted(more.length, 'other file')}` : '';
  return `watching ${visible(fromHere(first))}${others}, Ctrl-C ends`;
}
