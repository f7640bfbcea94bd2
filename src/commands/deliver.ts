import { print } from '../io/streams.ts';
import { sameFile, writeFile } from '../io/write.ts';
import { refuse } from './refuse.ts';

/** Writes an answer to a file, or to standard output for `-`. Exit code: 0 done, 2 not written, which has then been said. */
export async function deliver(answer: string, output: string): Promise<0 | 2> {
  const problem = await (output === '-' ? print(answer) : writeFile(output, answer));
  if (problem === null) return 0;
  await refuse(problem);
  return 2;
}

/** Whether an answer would take the place of the plan it is about; says so. */
export async function overwritesPlan(plan: string, output: string): Promise<boolean> {
  if (plan === '-' || output === '-' || !sameFile(plan, output)) return false;
  const message = `${output} is the plan itself, which the answer would replace`;
  await refuse({
    code: 'FILE_UNREADABLE',
    severity: 'error',
    path: [],
    message,
    mend: 'name another file for the answer',
  });
  return true;
}
