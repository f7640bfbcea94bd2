/**
 * Bundles without a word unless it fails: `node src/build/bundle.js` the product into dist, and with a folder and entries
 * behind it a script of the tests, which must find the catalogue beside itself.
 */
import { rolldown } from 'rolldown';
import { catalogue } from './catalogue.js';
import { notices } from './notices.js';

const [dir = 'dist', ...scripts] = process.argv.slice(2);

const bundle = await rolldown({
  input: scripts.length > 0 ? scripts : { cli: 'src/cli.ts', index: 'src/index.ts' },
  platform: 'node',
  preserveEntrySignatures: 'allow-extension',
  logLevel: 'silent',
  plugins: scripts.length > 0 ? [catalogue] : [catalogue, notices],
});
await bundle.write({
  dir,
  format: 'esm',
  cleanDir: true,
  ...(scripts.length === 0 && {
    minify: true,
    codeSplitting: { groups: [{ name: chunkName() }], includeDependenciesRecursively: false },
    chunkFileNames: 'part-[name]-[hash].js',
  }),
});
await bundle.close();

/**
 * Chunk of a module: all that a report loads is one file, since loading the fifty that commands share takes an eighth of its
 * time; what completion loads of it is another, since it answers while somebody holds the Tab key. Each is closed under
 * imports but for what comes before it, so that no chunk imports another in a circle. Null: as the bundler has it.
 */
function chunkName() {
  const always = loadedBy(/\/src\/cli\.ts$/);
  const completes = loadedBy(/\/src\/commands\/completion\.ts$/);
  const reports = loadedBy(/\/src\/commands\/report\.ts$/);
  return (id, graph) => {
    if (!reports(id, graph) || always(id, graph)) return null;
    return completes(id, graph) ? 'completion-and-report' : 'report';
  };
}

/** Whether a module is loaded with another, by imports that do not wait until they are called. */
function loadedBy(root) {
  const known = new Map();
  const isLoaded = (id, graph) => {
    if (!known.has(id)) {
      known.set(id, false);
      const importers = graph.getModuleInfo(id)?.importers ?? [];
      known.set(id, root.test(id) || importers.some((one) => isLoaded(one, graph)));
    }
    return known.get(id);
  };
  return isLoaded;
}
