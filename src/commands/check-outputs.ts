/** Where the answer of `check` goes, and in which formats: `junit=out.xml`, or `text` for standard output. */
import type { Finding } from '../finding.ts';
import { mendedName } from '../plan/did-you-mean.ts';
import { type CheckFormat, checkFormats, isCheckFormat } from '../render/check/formats.ts';

/** `file` is `-` for standard output. */
export type Output = { readonly format: CheckFormat; readonly file: string };

/** Text on standard output where nothing is asked for. At most one output may go to the same place. */
export function outputsOf(asked: readonly string[]): Output[] | Finding {
  const outputs: Output[] = [];
  for (const one of asked.length === 0 ? ['text'] : asked) {
    const [name = '', ...rest] = one.split('=');
    if (!isCheckFormat(name)) return unknownFormat(name);
    const file = rest.length === 0 ? '-' : rest.join('=');
    if (file === '') return refusal(`--format ${one} names no file`, `write ${name}=FILE, or ${name} alone`);
    if (outputs.some((other) => other.file === file)) return taken(file);
    outputs.push({ format: name, file });
  }
  return outputs;
}

function unknownFormat(name: string): Finding {
  const names = Object.keys(checkFormats);
  const mend = mendedName(name, names);
  return { ...refusal(`--format: there is no format "${name}"`, mend), code: 'UNKNOWN_NAME' };
}

function taken(file: string): Finding {
  const place = file === '-' ? 'standard output' : file;
  return refusal(`--format: two formats go to ${place}`, 'give each a file of its own: --format junit=FILE');
}

const refusal = (message: string, mend: string): Finding => ({
  code: 'FILE_UNREADABLE',
  severity: 'error',
  path: [],
  message,
  mend,
});
