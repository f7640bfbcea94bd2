/** Files as they are in a git revision: read as blobs, so that nothing that the repository or its settings name is run. */
import { spawn, spawnSync } from 'node:child_process';
import { relative, sep } from 'node:path';
import type { Finding } from '../finding.ts';
import { decode, LARGEST_FILE, type Text } from './files.ts';
import { fileFinding } from './terminal.ts';

export type Revision = {
  /** Path in the repository of a file named from here; null for one outside it. */
  readonly pathOf: (file: string) => string | null;
  /** The text at a path of the repository; links within it are followed. */
  readonly read: (path: string) => Promise<Text>;
  /** So many of its bytes at most. */
  readonly bytes: (path: string, most: number) => Promise<Uint8Array | { readonly problem: string }>;
  readonly close: () => void;
};

/** No hooks, monitors or pagers of the repository's choice, no object fetched that is not there, no prompt. */
const SAFELY = ['--no-pager', '-c', 'core.fsmonitor=false', '-c', 'core.hooksPath=/dev/null'];
const NO_FETCH = ['-c', 'protocol.allow=never'];

const quietly = () => ({ ...process.env, GIT_NO_LAZY_FETCH: '1', GIT_TERMINAL_PROMPT: '0', LC_ALL: 'C' });

/** `name` is a commit as git knows it, never an option; an error where there is none. */
export function openRevision(name: string): Revision | Finding {
  const refuse = (problem: string, fix: string): Finding => fileFinding(`--no-worse-than: ${problem}`, fix);
  const git = (...args: readonly string[]) =>
    spawnSync('git', [...SAFELY, ...NO_FETCH, ...args], { encoding: 'utf8', env: quietly() });
  const inside = git('rev-parse', '--show-prefix');
  const isHere = 'name an existing folder, or run it in a git repository';
  if (inside.error) return refuse(`no folder named ${name}, and git cannot be run`, isHere);
  if (inside.status !== 0) return refuse(`no folder named ${name}, and no git repository here`, isHere);
  const found = git('rev-parse', '--verify', '--quiet', '--end-of-options', `${name}^{commit}`);
  const [commit] = /^[\da-f]{40,64}$/m.exec(found.stdout) ?? [];
  if (commit === undefined || name.startsWith('-'))
    return refuse(
      `no folder or git revision named ${name}`,
      'write a folder, or a revision such as HEAD~1 or main',
    );
  const prefix = inside.stdout.replace(/\n$/, '');
  const pathOf = (file: string) => withoutParents(`${prefix}${relative('.', file).replaceAll(sep, '/')}`);
  return { pathOf, ...blobsOf(commit) };
}

/** A path without `..` in it; null where it leads out. */
export function withoutParents(path: string): string | null {
  const kept: string[] = [];
  for (const step of path.split('/'))
    if (step !== '..') kept.push(step);
    else if (kept.pop() === undefined) return null;
  return kept.join('/');
}

/** One process gives all files of a commit, each when it is asked for. */
function blobsOf(commit: string): Omit<Revision, 'pathOf'> {
  const args = [...SAFELY, ...NO_FETCH, 'cat-file', '--batch', '--follow-symlinks'];
  const child = spawn('git', args, { env: quietly(), stdio: ['pipe', 'pipe', 'ignore'] });
  child.stdin.on('error', () => {});
  const chunks = child.stdout[Symbol.asyncIterator]();
  let rest = Buffer.alloc(0);
  const more = async (): Promise<boolean> => {
    const { done, value } = await chunks.next();
    if (!done) rest = Buffer.concat([rest, value]);
    return !done;
  };
  const line = async (): Promise<string> => {
    while (!rest.includes(10)) if (!(await more())) return '';
    const end = rest.indexOf(10);
    const text = rest.toString('utf8', 0, end);
    rest = rest.subarray(end + 1);
    return text;
  };
  /** At most so many; what is beyond is passed over. */
  const content = async (size: number, most: number): Promise<Buffer> => {
    const kept: Buffer[] = [];
    for (let [left, room] = [size, most]; left > 0; ) {
      if (rest.length === 0 && !(await more())) break;
      const part = rest.subarray(0, left);
      kept.push(part.subarray(0, room));
      room -= Math.min(room, part.length);
      left -= part.length;
      rest = rest.subarray(part.length);
    }
    return Buffer.concat(kept);
  };
  const bytes: Revision['bytes'] = async (path, most) => {
    if (/[\n\0]/.test(path)) return { problem: 'git cannot be asked for such a name' };
    child.stdin.write(`${commit}:${path}\n`);
    const head = await line();
    const [, kind = '', size = '0'] = /(\w+) (\d+)$/.exec(head) ?? [];
    if (kind === '')
      return { problem: head.endsWith(' missing') ? 'no such file or folder' : 'git cannot read it' };
    const found = await content(Number(size), most);
    await line();
    if (kind === 'blob') return found;
    return {
      problem: kind === 'tree' ? 'it is a folder, not a file' : 'its link leads nowhere in the repository',
    };
  };
  const read: Revision['read'] = async (path) => {
    const found = await bytes(path, LARGEST_FILE + 1);
    return 'problem' in found ? found : decode(found);
  };
  return { read, bytes, close: () => void child.stdin.end() };
}
