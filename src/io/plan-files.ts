/** Which files are meant by names and patterns on the command line. */
import { existsSync } from 'node:fs';
import { relative, resolve, sep } from 'node:path';

/** A name, and the file that it stands for; null for a pattern that matches nothing. */
export type Named = { readonly name: string; readonly file: string | null };

/** In the order given, those of a pattern by name; each file once. `-` is standard input. */
export async function planFiles(asked: readonly string[]): Promise<Named[]> {
  const found: Named[] = [];
  for (const one of asked) found.push(...(isPattern(one) ? await matching(one) : [{ name: one, file: one }]));
  const seen = new Map(found.map((named) => [named.file === '-' ? '-' : resolve(named.name), named]));
  return [...seen.values()];
}

/** A file may be called so, too, as a shell that has done the matching hands it over. */
const isPattern = (text: string): boolean => /[*?[\]{}]/.test(text) && !existsSync(text);

async function matching(pattern: string): Promise<Named[]> {
  const { glob } = await import('tinyglobby');
  const files = await glob(pattern, { expandDirectories: false, ignore: '**/node_modules/**' });
  if (files.length === 0) return [{ name: pattern, file: null }];
  return files.sort().map((file) => ({ name: file, file }));
}

/** As a path from where we run, with `/` between its steps. */
export const fromHere = (file: string): string => relative(process.cwd(), resolve(file)).split(sep).join('/');
