/** That the warm process, by which most tests of commands ask, answers as a process of its own does. */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const cwd = fileURLToPath(new URL('../../fixtures', import.meta.url));
const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));

test.each([
  { args: ['--version'] },
  { args: ['report', '--help'] },
  { args: ['report', 'two-guitars.yaml'] },
  { args: ['report', 'two-guitars.yaml', '--json'], env: { COLUMNS: '120' } },
  { args: ['report', 'two-guitars.yaml'], env: { FORCE_COLOR: '1', COLUMNS: '120' } },
  { args: ['report', '-'], input: 'spillcheck: 1\nplayers: 3\n' },
  { args: ['report', 'none.yaml'] },
  { args: ['check', 'two-guitars.yaml', 'broken/*.yaml'] },
  { args: ['reprot'] },
  { args: ['why', 'two-guitars.yaml', 'left-mic', 'nobody'] },
])('$args $env $input', ({ args, env = {}, input = '' }) => {
  const same = { cwd, env: { PATH: process.env.PATH ?? '', ...env }, input };
  const { status, stdout, stderr } = spawnSync(process.execPath, [BIN, ...args], {
    ...same,
    encoding: 'utf8',
  });
  for (const _ of [1, 2]) expect(spillcheck(args, same)).toEqual({ status, stdout, stderr });
});
