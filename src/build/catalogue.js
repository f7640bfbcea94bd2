import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parse } from 'yaml';

const CATALOGUE = 'shared/catalogue';

/** The catalogue's YAML files as one compact JSON beside the code: parsing YAML at each start would cost tens of ms. */
export const catalogue = {
  name: 'catalogue',
  buildStart() {
    for (const file of files(CATALOGUE)) this.addWatchFile(file);
  },
  generateBundle() {
    this.emitFile({
      type: 'asset',
      fileName: 'catalogue.json',
      source: JSON.stringify(tree(CATALOGUE), finite),
    });
  },
};

/** Folders and files by name, without `.yaml`. */
function tree(folder) {
  const entries = readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1));
  return Object.fromEntries(
    entries.map((entry) => {
      const path = join(folder, entry.name);
      return entry.isDirectory() ? [entry.name, tree(path)] : [basename(path, '.yaml'), parsed(path)];
    }),
  );
}

function parsed(file) {
  return parse(readFileSync(file, 'utf8'), { prettyErrors: true });
}

/** JSON has no Infinity and would write null for it. */
function finite(key, value) {
  if (typeof value === 'number' && !Number.isFinite(value))
    throw new Error(`${key} in ${CATALOGUE} is ${value}`);
  return value;
}

const files = (folder) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
