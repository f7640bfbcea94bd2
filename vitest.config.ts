import { defineConfig } from 'vitest/config';

/** Only a hang takes as long: tests bound the work they ask for, never the time on a shared machine. */
const HANG = 900_000;

/** `--mode long` tries larger samples, and the files *.long.test.ts. */
export default defineConfig(({ mode }) => ({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: mode === 'long' ? [] : ['tests/**/*.long.test.ts'],
    env: { SPILLCHECK_LONG: mode === 'long' ? '1' : '' },
    testTimeout: HANG,
    hookTimeout: HANG,
    // each worker loads all modules anew, some seconds of work
    maxWorkers: 2,
    // files share a worker and its modules: no test changes what another reads
    isolate: false,
    globalSetup: 'tests/browser.ts',
  },
}));
