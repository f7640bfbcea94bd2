/** `spillcheck schema`, and the file that ships beside it. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const BIN = fileURLToPath(new URL('../../bin/spillcheck.js', import.meta.url));
const shipped = readFileSync(new URL('../../shared/schemas/plan.schema.json', import.meta.url), 'utf8');

test('prints the file that ships: `npm run docs` makes it so', () => {
  const { status, stdout, stderr } = spawnSync(process.execPath, [BIN, 'schema'], { encoding: 'utf8' });
  expect({ status, stderr, same: stdout === shipped }).toEqual({ status: 0, stderr: '', same: true });
});

test('-o writes it', () => {
  const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  const file = join(folder, 'plan.schema.json');
  expect(spawnSync(process.execPath, [BIN, 'schema', '-o', file]).status).toBe(0);
  expect(readFileSync(file, 'utf8')).toBe(shipped);
  rmSync(folder, { recursive: true });
});
