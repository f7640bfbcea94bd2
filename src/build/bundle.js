/**
 * Bundles without a word unless it fails: `node src/build/bundle.js` the product into dist, and with a folder and entries
 * behind it a script of the tests, which must find the catalogue beside itself.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { rolldown } from 'rolldown';
import { parse } from 'yaml';

const [dir = 'dist', ...scripts] = process.argv.slice(2);

const bundle = await rolldown({
  input: scripts.length > 0 ? scripts : { cli: 'src/cli.ts', index: 'src/index.ts' },
  platform: 'node',
  preserveEntrySignatures: 'allow-extension',
  logLevel: 'silent',
  plugins: scripts.length > 0 ? [catalogue()] : [catalogue(), notices()],
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
 * time; what completion loads of it is another, since it answers while somebody holds the Tab key; what only looking for moves
 * takes is a third. Each is closed under
 * imports but for what comes before it, so that no chunk imports another in a circle. Null: as the bundler has it.
 */
function chunkName() {
  const always = loadedBy('/src/cli.ts');
  const completes = loadedBy('/src/commands/completion.ts');
  const reports = loadedBy('/src/commands/report.ts');
  const suggests = loadedBy('/src/commands/suggest.ts');
  return (id, graph) => {
    if (always(id, graph)) return null;
    if (reports(id, graph)) return completes(id, graph) ? 'completion-and-report' : 'report';
    return suggests(id, graph) ? 'suggest' : null;
  };
}

/** Whether a module is loaded with another, by imports that do not wait until they are called. */
function loadedBy(root) {
  const known = new Map();
  const isLoaded = (id, graph) => {
    if (!known.has(id)) {
      known.set(id, false);
      const importers = graph.getModuleInfo(id)?.importers ?? [];
      known.set(id, id.endsWith(root) || importers.some((one) => isLoaded(one, graph)));
    }
    return known.get(id);
  };
  return isLoaded;
}

/** The catalogue's YAML files as one compact JSON beside the code: parsing YAML at each start would cost tens of ms. */
function catalogue() {
  return {
    name: 'catalogue',
    generateBundle() {
      const source = JSON.stringify(tree('shared/catalogue'), finite);
      this.emitFile({ type: 'asset', fileName: 'catalogue.json', source });
    },
  };
}

/** Folders and files by name, without `.yaml`. */
function tree(folder) {
  const entries = readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1));
  return Object.fromEntries(
    entries.map((entry) => {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) return [entry.name, tree(path)];
      return [basename(path, '.yaml'), parse(readFileSync(path, 'utf8'), { prettyErrors: true })];
    }),
  );
}

/** JSON has no Infinity and would write null for it. */
function finite(key, value) {
  if (typeof value !== 'number' || Number.isFinite(value)) return value;
  throw new Error(`${key} in the catalogue is ${value}`);
}

/** The licence of every package of which something is bundled, beside the code, as the licences ask. */
function notices() {
  return {
    name: 'notices',
    generateBundle(_options, bundle) {
      const modules = Object.values(bundle).flatMap((chunk) => chunk.moduleIds ?? []);
      const parts = [...new Set(modules.flatMap(packageFolder))].sort().map(notice);
      const source = ['Parts of these packages are bundled in dist/.\n', ...parts];
      const between = `\n${'-'.repeat(80)}\n\n`;
      this.emitFile({ type: 'asset', fileName: 'THIRD-PARTY.txt', source: source.join(between) });
    },
  };
}

/** The folder of the package that a module is of; none for our own. */
function packageFolder(id) {
  const [folder] = /^.*\/node_modules\/(?:@[^/]+\/)?[^/]+(?=\/)/.exec(id.replaceAll('\\', '/')) ?? [];
  return folder ? [folder] : [];
}

/** A package without a licence in its folder cannot be given on: the build stops. */
function notice(folder) {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
  const files = readdirSync(folder).filter((file) => /^(?:licen[cs]e|notice|copying)/i.test(file));
  if (files.length === 0) throw new Error(`${name} is bundled, but has no licence file`);
  const texts = files.sort().map((file) => readFileSync(join(folder, file), 'utf8').trim());
  return [`${name} ${version} (${license})`, ...texts].join('\n\n').concat('\n');
}
