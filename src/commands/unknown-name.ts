import type { Finding } from '../finding.ts';
import { mendedName } from '../plan/did-you-mean.ts';

type Asked = { readonly what: string; readonly name: string; readonly known: readonly string[] };

/** An option that asks for something that is not there; with the name most likely meant, or those there are. */
export function unknownName(option: string, { what, name, known }: Asked): Finding {
  return {
    code: 'UNKNOWN_NAME',
    severity: 'error',
    path: [],
    message: `${option}: there is no ${what} "${name}"`,
    mend: mendedName(name, known),
  };
}
