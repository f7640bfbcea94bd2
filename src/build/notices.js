import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const FILE = 'THIRD-PARTY.txt';

/** The licence of every package of which something is bundled, beside the code, as the licences ask. */
export const notices = {
  name: 'notices',
  generateBundle(_options, bundle) {
    const modules = Object.values(bundle).flatMap((chunk) => chunk.moduleIds ?? []);
    const folders = [...new Set(modules.flatMap(packageFolder))].sort();
    const parts = folders.map(notice);
    const source = [`Parts of these packages are bundled in dist/.\n`, ...parts].join(
      `\n${'-'.repeat(80)}\n\n`,
    );
    this.emitFile({ type: 'asset', fileName: FILE, source });
  },
};

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
