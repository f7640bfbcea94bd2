/** Recordings of claps that a plan names: the decay times that they tell take their place. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import { type AverageDecay, averageDecays, DOUBTS, type Doubt, rangeFor } from '../recording/decay.ts';
import { rounded } from '../statistics.ts';
import { allOf } from '../text.ts';
import { type Fault, findingOf, type MapNode, type Node, nodesAt, type Scalar } from './document.ts';
import { type Edit, nodeAt, nodeOf, withEdits } from './edit.ts';
import { type From, pathOfNamed } from './files.ts';
import { octaveOf } from './schema.ts';

/** The tree with the times of every recording written out by octave, but for octaves whose times are typed beside it. */
export async function readRecordings(tree: MapNode, plan: From) {
  const findings: Finding[] = [];
  let whole = tree;
  for (const { path, node: written } of nodesAt(tree, ['rooms', '*', 'reverberation', 'recording'])) {
    // only words name files: anything else is the schema's to refuse
    if (written.kind !== 'scalar' || typeof written.value !== 'string') continue;
    const above = path.slice(0, -1);
    const { faults, edits } = await timesOf(written, nodeAt(tree, above), plan);
    const { source, offset } = written.mark;
    for (const fault of faults) {
      const severity = fault.code === 'WARNING' ? 'warning' : 'error';
      findings.push({ ...findingOf({ ...fault, path }), severity, offset, file: source.name });
    }
    const under = edits.map((edit) => ({ ...edit, path: [...above, ...edit.path] }));
    whole = withEdits(whole, [{ path, value: null }, ...under]);
  }
  return { tree: whole, findings };
}

/** What comes in the place of a recording, and what is wrong or doubtful about it. */
type Times = { readonly faults: readonly Fault[]; readonly edits: readonly Edit[] };

/** T20 where its range suffices, else early decay time; early alone where the plan wants that. */
async function timesOf(written: Scalar, beside: Node | null, plan: From): Promise<Times> {
  const path = pathOfNamed(written, plan, 'clap.wav');
  if (typeof path !== 'string') return refused(path.message, path.fix);
  const heard = await plan.hear(path);
  if ('problem' in heard) return refused(`names ${path}: ${heard.problem}`, heard.fix);
  const decay = beside && nodeAt(beside, ['decay']);
  const allEarly = decay?.kind === 'scalar' && decay.text === 'early';
  const typed = beside?.kind === 'map' ? [...beside.entries.keys()].map(octaveOf) : [];
  const rows = averageDecays(heard.claps).filter(({ band }) => !typed.includes(NOMINAL_BANDS[band]));
  const late = allEarly ? [] : rows.filter(({ times }) => times.t20 !== null);
  const early = rows.filter((row) => row.times.edt !== null && !late.includes(row));
  if (late.length + early.length === 0) {
    const message = `names ${path}, in which no octave falls by ${rangeFor('edt')} dB before it meets the noise`;
    return refused(message, `see \`spillcheck decay ${path}\``);
  }
  const timeIn = (row: AverageDecay, time: number | null): Edit => ({
    path: [hertz(row)],
    value: nodeOf(rounded(time ?? 0, 3)),
  });
  const mixed = allEarly ? [] : early;
  const clipped = early.length > 0 && heard.claps.some((clap) => clap.clipped);
  const doubts: readonly (readonly [Doubt, readonly AverageDecay[]])[] = [
    ['early', mixed],
    ['steeper', [...late, ...early].filter(({ bend }) => bend === 'steeper')],
    ['disagree', [...late, ...early].filter(({ disagree }) => disagree)],
    ['clipped', clipped ? early : []],
  ];
  return {
    faults: doubts.flatMap(([doubt, about]) => (about.length > 0 ? warning(path, doubt, about) : [])),
    edits: [
      ...late.map((row) => timeIn(row, row.times.t20)),
      ...early.map((row) => timeIn(row, row.times.edt)),
      ...mixed.map((row): Edit => ({ path: ['decay', hertz(row)], value: nodeOf('early') })),
    ],
  };
}

/** Some time takes the place of a recording with an error. */
const refused = (message: string, fix: string): Times => ({
  faults: [{ code: 'FILE_UNREADABLE', message, fix }],
  edits: [{ path: ['1000'], value: nodeOf(1) }],
});

const hertz = ({ band }: AverageDecay): string => String(NOMINAL_BANDS[band]);

function warning(path: string, doubt: Doubt, about: readonly AverageDecay[]): Fault {
  const { what, fix } = DOUBTS[doubt];
  return { code: 'WARNING', message: `names ${path}, and at ${allOf(about.map(hertz))} Hz ${what}`, fix };
}
