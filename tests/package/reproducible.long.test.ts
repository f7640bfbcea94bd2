/** Built twice, in two places and at two times, the package is the same to the last byte; it holds what is used and no more. */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  utimesSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** All that a clone has and a build reads. */
const CLONED = ['bin', 'fixtures', 'shared', 'src', 'LICENSE', 'README.md', 'package.json', 'tsconfig.json'];

const folder = mkdtempSync(join(tmpdir(), 'spillcheck-built-'));
afterAll(() => rmSync(folder, { recursive: true }));

type Packed = { readonly hash: string; readonly files: readonly string[] };

function packedIn(place: string, time: Date): Packed {
  const at = join(folder, place);
  mkdirSync(at, { recursive: true });
  for (const name of CLONED) cpSync(join(ROOT, name), join(at, name), { recursive: true });
  for (const name of readdirSync(join(at, 'src'))) utimesSync(join(at, 'src', name), time, time);
  symlinkSync(join(ROOT, 'node_modules'), join(at, 'node_modules'));
  const run = (...args: readonly string[]) => {
    const { status, stdout, stderr } = spawnSync('npm', args, { cwd: at, encoding: 'utf8' });
    if (status !== 0) throw new Error(stderr);
    return stdout;
  };
  run('run', '--silent', 'build');
  const [{ filename, files }] = JSON.parse(run('pack', '--ignore-scripts', '--json', '--offline'));
  const hash = createHash('sha256')
    .update(readFileSync(join(at, filename)))
    .digest('hex');
  return { hash, files: files.map(({ path }: { path: string }) => path) };
}

test('two builds are one package', () => {
  const one = packedIn('a', new Date('2001-02-03'));
  const other = packedIn('another place/with a longer name', new Date('2020-02-03'));
  expect(one).toEqual(other);
  const unneeded = one.files.filter((file) =>
    /\.(?:map|tsbuildinfo|test\.ts|log)$|^(?:src|tests)\/|shared\/catalogue\/|fixtures\/broken\//.test(file),
  );
  expect(unneeded).toEqual([]);
  const text = one.files
    .filter((file) => file.startsWith('dist/'))
    .map((file) => readFileSync(join(folder, 'a', file), 'utf8'))
    .join('\n');
  expect(text).not.toContain(folder);
  expect(text).not.toContain(ROOT);
});
