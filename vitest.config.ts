import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 30_000,
    maxWorkers: '100%',
    // files share a worker and its modules: no test changes what another reads
    isolate: false,
    globalSetup: 'tests/browser.ts',
  },
});
