/** A browser for the tests of pages: found where it usually is, or installed on a machine that is there for tests alone. */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const PLACES = [
  process.env.CHROME_PATH ?? '',
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
];

export const browserHere = (): string | null =>
  PLACES.find((file) => file !== '' && existsSync(file)) ?? null;

const MINUTES = 4;

/** Runs once before all tests. Only where `CI` says that nobody's own machine is changed by it; says what it did. */
export function setup(): void {
  if (
    browserHere() !== null ||
    !process.env.CI ||
    process.getuid?.() !== 0 ||
    !existsSync('/usr/bin/apt-get')
  )
    return;
  process.stdout.write('installing chromium for the tests of pages …\n');
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const end = Date.now() + MINUTES * 60_000;
  for (const args of [['update'], ['install', '--yes', '--no-install-recommends', 'chromium']]) {
    const left = Math.max(1, end - Date.now());
    const { status } = spawnSync('apt-get', ['-q', ...args], { env, stdio: 'ignore', timeout: left });
    if (status === 0) continue;
    process.stdout.write(`apt-get ${args[0]} did not succeed: tests of pages go without a browser\n`);
    return;
  }
}
