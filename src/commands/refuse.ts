import type { Finding } from '../finding.ts';
import { say } from '../io/streams.ts';
import { visible } from '../plan/visible.ts';

/** The same for a command: its exit code. */
export async function refused(finding: Finding): Promise<2> {
  await refuse(finding);
  return 2;
}

/** Says what stands in the way where no place in a plan can be shown. Always null: there is no answer. */
export async function refuse({ code, message, mend }: Finding): Promise<null> {
  const hint = mend === undefined ? '' : `  mend: ${visible(mend)}\n`;
  await say(`spillcheck: ${code} ${visible(message)}\n${hint}`);
  return null;
}
