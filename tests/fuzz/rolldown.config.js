import build from '../../rolldown.config.js';

/** The folder must be called dist: the code looks for the catalogue in one beside its own. */
export default {
  ...build,
  input: { fuzz: 'tests/fuzz/fuzz.ts', runner: 'tests/fuzz/runner.ts' },
  output: { dir: 'node_modules/.cache/fuzz/dist', format: 'esm', cleanDir: true },
};
