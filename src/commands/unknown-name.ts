import type { Finding } from '../finding.ts';
import { nearestName } from '../plan/nearest.ts';

type Asked = { readonly what: string; readonly name: string; readonly known: readonly string[] };

/** An option that asks for something that is not there; with the name most likely meant, or those there are. */
export function unknownName(option: string, { what, name, known }: Asked): Finding {
  const near = nearestName(name, known);
  return {
    code: 'UNKNOWN_NAME',
    severity: 'error',
    path: [],
    message: `${option}: there is no ${what} "${name}"`,
    mend: near === null ? `there are ${known.join(', ') || 'none'}` : `did you mean "${near}"?`,
  };
}
