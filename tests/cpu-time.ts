/** Work measured in time of the processor: the clock would count what others do on the machine as well. */
import { spawnSync } from 'node:child_process';

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
