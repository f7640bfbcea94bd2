/** Work measured in time of the processor: the clock would count what others do on the machine as well. */
import { type ChildProcess, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';

/** Milliseconds that this process works until `work` is done. */
export async function cpuTime(work: () => unknown): Promise<number> {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

/** Says on standard error, as the last line, what the process has worked. */
const TELL = `process.on('exit', () => {
  const { user, system } = process.cpuUsage();
  process.stderr.write('\\n' + (user + system) / 1000);
});`;

/** Milliseconds that Node works for a script with its arguments, from its start to its end. */
export function cpuTimeOfNode(args: readonly string[]): number {
  const tell = `data:text/javascript,${encodeURIComponent(TELL)}`;
  const { stderr } = spawnSync(process.execPath, ['--import', tell, ...args], { encoding: 'utf8' });
  return Number(stderr.split('\n').at(-1));
}

/** Waits until a process has worked so many ms; where the machine does not tell, as only Linux does, for as long by the clock. */
export async function untilWorked({ pid }: ChildProcess, milliseconds: number): Promise<void> {
  const begun = performance.now();
  while ((workOf(pid) ?? performance.now() - begun) < milliseconds)
    await new Promise((done) => setTimeout(done, 20));
}

/** What a process has worked, ms; null where nothing tells. */
export const workOf = (pid: number | undefined): number | null => stateOf(pid)?.worked ?? null;

/** What a process has worked, ms, and whether it waits for something other than its turn; null where nothing tells. */
export function stateOf(pid: number | undefined): { worked: number; waits: boolean } | null {
  try {
    const [, fields = ''] = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ');
    const [state, ...rest] = fields.split(' ');
    const [user = 0, system = 0] = rest.slice(10, 12).map(Number);
    return { worked: (user + system) * 10, waits: state === 'S' };
  } catch {
    return null;
  }
}
