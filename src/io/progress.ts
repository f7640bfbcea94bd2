import { visible } from '../plan/visible.ts';

type Terminal = { readonly isTTY?: boolean; write(text: string): unknown };

/** Says on a terminal what takes long just now; returns what takes the line away. Silent where nobody looks. */
export function announce(text: string, terminal: Terminal = process.stderr): () => void {
  if (terminal.isTTY !== true) return () => {};
  const shown = visible(text);
  terminal.write(shown);
  return () => terminal.write(`\r${' '.repeat(shown.length)}\r`);
}
