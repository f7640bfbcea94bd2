import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { spillcheck } from '../spillcheck.ts';

const shipped = readFileSync(new URL('../../shared/schemas/plan.schema.json', import.meta.url), 'utf8');

test('prints the file that ships: `npm run docs` makes it so', () => {
  const { status, stdout, stderr } = spillcheck(['schema']);
  expect({ status, stderr, same: stdout === shipped }).toEqual({ status: 0, stderr: '', same: true });
});

test('-o writes it', () => {
  const folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
  const file = join(folder, 'plan.schema.json');
  expect(spillcheck(['schema', '-o', file]).status).toBe(0);
  expect(readFileSync(file, 'utf8')).toBe(shipped);
  rmSync(folder, { recursive: true });
});
