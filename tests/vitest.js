/** Runs vitest with the arguments given; without colours where its output goes into a pipe or file, which it colours too. */
if (!process.stdout.isTTY) process.env.NO_COLOR = '1';
await import('../node_modules/vitest/vitest.mjs');
