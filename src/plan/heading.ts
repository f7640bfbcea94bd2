/** What each file says of itself before anything else is read in it: its version and what its bare lengths count in. */
import type { Finding, FindingCode } from '../finding.ts';
import { type MapNode, type Node, shown } from './tree.ts';
import { visible } from './visible.ts';

/** Faults of a file's heading. A plan must say its version, a studio may. */
export function headingFindings(file: MapNode, what: 'plan' | 'studio'): Finding[] {
  const findings: Finding[] = [];
  const say = (code: FindingCode, key: string, at: Node, message: string, mend: string) => {
    const { source, offset } = at.mark;
    const place = { path: file === at ? [] : [key], offset, file: source.name };
    findings.push({ code, severity: 'error', ...place, message: visible(message), mend });
  };
  const version = file.entries.get('spillcheck')?.node;
  if (!version && what === 'plan') {
    say('PLAN_VERSION', '', file, 'the plan does not say its version', 'begin with `spillcheck: 1`');
  }
  if (version && wordOf(version) !== '1') {
    const message = `spillcheck must be 1, the version of the plan format read here, got ${wordOf(version)}`;
    say('PLAN_VERSION', 'spillcheck', version, message, 'write `spillcheck: 1`');
  }
  const units = file.entries.get('units')?.node;
  if (units && !['m', 'ft'].includes(wordOf(units))) {
    say('WRONG_SHAPE', 'units', units, `units must be one of m, ft, got ${wordOf(units)}`, 'write m or ft');
  }
  return findings;
}

function wordOf(node: Node): string {
  if (node.kind !== 'scalar') return `a ${node.kind}`;
  return node.value === null ? 'nothing' : shown(node.text);
}
