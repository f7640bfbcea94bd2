import { execFileSync } from 'node:child_process';
import fs, {
  chmodSync,
  chownSync,
  linkSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { LARGEST_FILE, readFile, sameFile, studioLoader, writeFile } from '../../src/io/files.ts';

let folder = '';
const at = (name: string) => join(folder, name);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spillcheck-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

test('a file is read as UTF-8, without its byte order mark', () => {
  writeFileSync(at('plan.yaml'), '\ufefftitle: Blechbläser 🎺');
  expect(readFile(at('plan.yaml'))).toEqual({ text: 'title: Blechbläser 🎺' });
});

test.each([
  { what: 'a missing file', make: () => {}, says: 'no such file or folder' },
  { what: 'a folder', make: () => mkdirSync(at('x')), says: 'it is a folder' },
  { what: 'a link to itself', make: () => symlinkSync(at('x'), at('x')), says: 'its links form a loop' },
  {
    what: 'bytes that are no text',
    make: () => writeFileSync(at('x'), Buffer.of(0xff, 0xfe, 0x41)),
    says: 'not UTF-8 text',
  },
  {
    what: 'more than 4 MB',
    make: () => writeFileSync(at('x'), Buffer.alloc(LARGEST_FILE + 1, 32)),
    says: 'larger than the limit of 4 MB',
  },
])('$what is refused in words', ({ make, says }) => {
  make();
  expect(readFile(at('x'))).toEqual({ problem: expect.stringContaining(says) });
});

test('exactly 4 MB are still read', () => {
  writeFileSync(at('x'), Buffer.alloc(LARGEST_FILE, 32));
  expect(readFile(at('x'))).toHaveProperty('text');
});

test('writing replaces a file as a whole, keeps its permissions and leaves nothing beside it', async () => {
  writeFileSync(at('out.txt'), 'old');
  chmodSync(at('out.txt'), 0o640);
  expect(await writeFile(at('out.txt'), 'new')).toBeNull();
  expect(readFileSync(at('out.txt'), 'utf8')).toBe('new');
  expect(statSync(at('out.txt')).mode & 0o777).toBe(0o640);
  expect(readdirSync(folder)).toEqual(['out.txt']);
});

test('writing makes a new file, never changes the one a reader has open', async () => {
  writeFileSync(at('out.txt'), 'old');
  const before = statSync(at('out.txt')).ino;
  await writeFile(at('out.txt'), 'new');
  expect(statSync(at('out.txt')).ino).not.toBe(before);
});

test('writing through a link keeps the link', async () => {
  writeFileSync(at('real.txt'), 'old');
  symlinkSync(at('real.txt'), at('link.txt'));
  expect(await writeFile(at('link.txt'), 'new')).toBeNull();
  expect(lstatSync(at('link.txt')).isSymbolicLink()).toBe(true);
  expect(readFileSync(at('real.txt'), 'utf8')).toBe('new');
});

test('a link to a file that is not there yet gets its file where it points', async () => {
  mkdirSync(at('far'));
  symlinkSync('far/new.txt', at('link.txt'));
  symlinkSync('link.txt', at('second.txt'));
  expect(await writeFile(at('second.txt'), 'new')).toBeNull();
  expect(readFileSync(at('far/new.txt'), 'utf8')).toBe('new');
  expect(lstatSync(at('second.txt')).isSymbolicLink()).toBe(true);
  symlinkSync('round.txt', at('round.txt'));
  expect((await writeFile(at('round.txt'), 'x'))?.message).toContain('links form a loop');
});

test('a device stays a device', async () => {
  expect(await writeFile('/dev/null', 'gone')).toBeNull();
  expect(statSync('/dev/null').isCharacterDevice()).toBe(true);
});

test('writing to a folder, or into one that is not there, is refused and leaves nothing', async () => {
  mkdirSync(at('sub'));
  expect((await writeFile(at('sub'), 'x'))?.message).toContain('it is a folder');
  expect((await writeFile(at('none/out.txt'), 'x'))?.message).toContain('no such file or folder');
  expect(readdirSync(folder)).toEqual(['sub']);
});

describe('in place of a text that was read', () => {
  const of = 'old';
  const locks = () => readdirSync(folder).filter((name) => name.startsWith('.spillcheck-'));
  beforeEach(() => {
    writeFileSync(at('plan.yaml'), of);
    chmodSync(at('plan.yaml'), 0o664);
  });

  test('keeps permissions whatever the mask, and the owner where it may be set', async () => {
    const mask = process.umask(0o077);
    if (process.getuid?.() === 0) chownSync(at('plan.yaml'), 65_534, 65_533);
    const before = statSync(at('plan.yaml'));
    expect(await writeFile(at('plan.yaml'), 'new', { of })).toBeNull();
    process.umask(mask);
    const { mode, uid, gid } = statSync(at('plan.yaml'));
    expect([mode, uid, gid]).toEqual([before.mode, before.uid, before.gid]);
    expect(readFileSync(at('plan.yaml'), 'utf8')).toBe('new');
  });

  test('keeps a link', async () => {
    symlinkSync('plan.yaml', at('link.yaml'));
    expect(await writeFile(at('link.yaml'), 'new', { of })).toBeNull();
    expect(lstatSync(at('link.yaml')).isSymbolicLink()).toBe(true);
    expect(readFileSync(at('plan.yaml'), 'utf8')).toBe('new');
    expect(locks()).toEqual([]);
  });

  test.each([
    { what: 'another text', make: () => writeFileSync(at('plan.yaml'), 'saved'), says: 'has changed' },
    { what: 'nothing', make: () => rmSync(at('plan.yaml')), says: 'has changed' },
    {
      what: 'a write-protected file',
      make: () => chmodSync(at('plan.yaml'), 0o444),
      says: 'write-protected',
    },
    { what: 'a hard link', make: () => linkSync(at('plan.yaml'), at('twin.yaml')), says: 'has a hard link' },
    {
      what: 'a lock',
      make: () => writeFileSync(at('.spillcheck-plan.yaml.lock'), 'draft'),
      says: 'is being written by another run',
    },
    {
      what: 'a pipe',
      make: () => {
        rmSync(at('plan.yaml'));
        execFileSync('mkfifo', [at('plan.yaml')]);
      },
      says: 'is not a file',
    },
  ])('finds $what, and leaves everything as it is', async ({ make, says }) => {
    make();
    const before = readdirSync(folder).map((name) => [name, statSync(at(name)).mtimeMs]);
    expect((await writeFile(at('plan.yaml'), 'new', { of }))?.message).toContain(says);
    expect(readdirSync(folder).map((name) => [name, statSync(at(name)).mtimeMs])).toEqual(before);
  });

  /** Every call of the system on the way, in its order. */
  const STEPS = ['openSync', 'writeFileSync', 'chownSync', 'chmodSync', 'readSync', 'renameSync'] as const;

  /** Puts one call out of order, and with `dead` every call after it, as if the run had been killed there. */
  async function writeWith(step: (typeof STEPS)[number], dead: boolean, code: string) {
    const kept = STEPS.map((name) => [name, fs[name]] as const);
    const { rmSync: remove } = fs;
    const fail = () => {
      if (dead) for (const name of [...STEPS, 'rmSync'] as const) Object.assign(fs, { [name]: fail });
      syncBuiltinESMExports();
      throw Object.assign(new Error(code), { code });
    };
    Object.assign(fs, { [step]: fail });
    syncBuiltinESMExports();
    try {
      return await writeFile(at('plan.yaml'), 'new', { of });
    } catch (error) {
      return error;
    } finally {
      Object.assign(fs, Object.fromEntries(kept), { rmSync: remove });
      syncBuiltinESMExports();
    }
  }

  test.each(STEPS)('a full disk at %s leaves the old text and no lock', async (step) => {
    const said = await writeWith(step, false, 'ENOSPC');
    // an owner that cannot be set is no obstacle
    expect(readFileSync(at('plan.yaml'), 'utf8')).toBe(step === 'chownSync' ? 'new' : 'old');
    expect(said).toEqual(step === 'chownSync' ? null : expect.objectContaining({ code: 'FILE_UNREADABLE' }));
    expect(locks()).toEqual([]);
  });

  test.each(STEPS)(
    'killed at %s: the old text is whole, and the next run says what is left',
    async (step) => {
      await writeWith(step, true, 'EIO');
      expect(readFileSync(at('plan.yaml'), 'utf8')).toBe('old');
      const next = await writeFile(at('plan.yaml'), 'new', { of });
      if (step === 'openSync') return expect(next).toBeNull();
      expect(next?.fix).toBe(
        `wait for it; if it was stopped halfway, delete ${at('.spillcheck-plan.yaml.lock')}`,
      );
      rmSync(at('.spillcheck-plan.yaml.lock'));
      expect(await writeFile(at('plan.yaml'), 'new', { of })).toBeNull();
    },
  );
});

describe('as a new file', () => {
  test('takes a free name, and no other, also one taken at the last moment', async () => {
    expect(await writeFile(at('a'), 'one', 'none')).toBeNull();
    expect((await writeFile(at('a'), 'two', 'none'))?.code).toBe('FILE_EXISTS');
    const { writeFileSync: write } = fs;
    fs.writeFileSync = (...given) => {
      write(at('b'), 'of another');
      write(...given);
    };
    syncBuiltinESMExports();
    const late = await writeFile(at('b'), 'mine', 'none');
    Object.assign(fs, { writeFileSync: write });
    syncBuiltinESMExports();
    expect(late?.code).toBe('FILE_EXISTS');
    expect([readFileSync(at('a'), 'utf8'), readFileSync(at('b'), 'utf8')]).toEqual(['one', 'of another']);
    expect(readdirSync(folder)).toEqual(['a', 'b']);
  });
});

test('two names of one file are known as one', () => {
  writeFileSync(at('a'), '');
  symlinkSync(at('a'), at('b'));
  writeFileSync(at('c'), '');
  expect([sameFile(at('a'), at('b')), sameFile(at('a'), at('c')), sameFile(at('a'), at('none'))]).toEqual([
    true,
    false,
    false,
  ]);
});

test('a studio is read by its path from the folder of the plan, never through a link that leads out of it', async () => {
  mkdirSync(at('plans/rooms'), { recursive: true });
  writeFileSync(at('outside.yaml'), 'o');
  writeFileSync(at('plans/rooms/big.yaml'), 'b');
  symlinkSync(at('outside.yaml'), at('plans/out.yaml'));
  symlinkSync(at('.'), at('plans/up'));
  symlinkSync(at('plans/rooms/big.yaml'), at('plans/in.yaml'));
  const load = studioLoader(at('plans/plan.yaml'), false);
  expect(await load('rooms/big.yaml')).toEqual({ text: 'b' });
  expect(await load('in.yaml')).toEqual({ text: 'b' });
  const out = {
    problem: expect.stringContaining('link leads out'),
    fix: expect.stringMatching(/--allow-outside/),
  };
  expect(await load('out.yaml')).toEqual(out);
  expect(await load('up/outside.yaml')).toEqual(out);
  expect(await load('../outside.yaml')).toEqual(out);
  expect(await load(at('outside.yaml'))).toEqual(out);
  expect(await load('none.yaml')).toEqual({ problem: expect.stringContaining('no such file') });
});

test('with leave to, a studio is read wherever it lies', async () => {
  mkdirSync(at('plans'));
  writeFileSync(at('outside.yaml'), 'o');
  symlinkSync(at('outside.yaml'), at('plans/out.yaml'));
  const load = studioLoader(at('plans/plan.yaml'), true);
  for (const path of ['../outside.yaml', 'out.yaml', at('outside.yaml')])
    expect(await load(path)).toEqual({ text: 'o' });
});

test('a pipe or device for a studio is refused at once, where reading would wait for ever', async () => {
  execFileSync('mkfifo', [at('pipe.yaml')]);
  const load = studioLoader(at('plan.yaml'), true);
  const device = { problem: expect.stringContaining('device or a pipe') };
  expect(await load('pipe.yaml')).toEqual(device);
  expect(await load('/dev/zero')).toEqual(device);
  expect(await load('.')).toEqual({ problem: expect.stringContaining('it is a folder') });
});
