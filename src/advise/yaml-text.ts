/** A value of a plan as YAML on one line, so that it is read again as it is. */
import type { Node } from '../plan/tree.ts';

export function yamlText(node: Node): string {
  if (node.kind === 'list') return `[${node.items.map(yamlText).join(', ')}]`;
  if (node.kind === 'map') {
    return `{${[...node.entries].map(([key, entry]) => `${quoted(key)}: ${yamlText(entry.node)}`).join(', ')}}`;
  }
  if (node.value === null) return '~';
  return typeof node.value === 'string' ? quoted(node.text) : node.text;
}

/** Letters first, nothing that YAML gives a meaning to; or a number with a unit behind a blank. */
const PLAIN = /^(?:[\p{L}_][\p{L}\p{N}_ -]*|\d+(?:\.\d+)? [\p{L}\p{N}° .]+)$/u;
const RESERVED = /^(?:true|false|null|yes|no|on|off)$/i;

const quoted = (text: string): string =>
  PLAIN.test(text) && !RESERVED.test(text) && text === text.trim() ? text : JSON.stringify(text);
