/** The input list: what is plugged into which channel, and what its stand and its strip need. */
import type { Filter } from '../../acoustics/filter.ts';
import type { InputRow } from '../../judge/input-levels.ts';
import type { MicEntry } from '../../plan/plan-mics.ts';
import type { Capsule, Mic } from '../../scene/scene.ts';
import { figure, hertzName } from '../words.ts';
import { type About, heightIn } from './about.ts';
import type { Column, List } from './sheet.ts';

const COLUMNS: readonly Column[] = [
  { head: 'channel', toFill: true },
  { head: 'input', names: true },
  { head: 'kind' },
  { head: 'for' },
  { head: 'pattern' },
  { head: 'height' },
  { head: 'pair with', under: true },
  { head: 'pad', under: true },
  { head: 'filter', under: true },
  { head: 'remarks', under: true },
];

/** By channel where the plan gives them, the others after them in the order of the plan. */
export function inputs(about: About): List {
  const lines = about.scene.mics.flatMap((mic) => inputsOf(about, mic));
  const numbered = lines.filter(([channel]) => channel !== '');
  const without = lines.filter(([channel]) => channel === '');
  const rows = [...numbered.sort(([a = ''], [b = '']) => ORDER.compare(a, b)), ...without];
  const note =
    numbered.length > 0 ? 'no channel in the plan for those at the end' : 'the plan gives no channels';
  const notes = without.length > 0 ? [`Write in the channels: ${note}.`] : [];
  return { key: 'inputs', title: 'Input list', columns: COLUMNS, rows, notes };
}

const ORDER = new Intl.Collator('en', { numeric: true });

function inputsOf(about: About, mic: Mic): string[][] {
  const entry = about.plan.mics.get(mic.name);
  const capsules = mic.capsules.flatMap((index) => about.scene.capsules[index] ?? []);
  const [first] = capsules;
  if (!first) return [lineRow(about, mic, entry)];
  const names =
    mic.stereo === 'mid-side' ? [`${mic.name}, mid`, `${mic.name}, side`] : capsules.map(({ name }) => name);
  return names.map((name, i) => [
    mic.channels[i] ?? '',
    name,
    'mic',
    forWhom(mic, entry, about),
    patternOf(mic, capsules[i] ?? first, entry, i),
    heightIn(about, (capsules[i] ?? first).at[2], first.room),
    names.filter((other) => other !== name).join(', '),
    padOf(capsules, about.report.inputs, i),
    filterOf(mic),
    remarksOf(mic, entry),
  ]);
}

const lineRow = (about: About, mic: Mic, entry: MicEntry | undefined): string[] => [
  mic.channels[0] ?? '',
  mic.name,
  'line',
  forWhom(mic, entry, about),
  '',
  '',
  '',
  '',
  filterOf(mic),
  remarksOf(mic, entry),
];

/** As the plan names them: a kit by its own name, not by its pieces. */
function forWhom(mic: Mic, entry: MicEntry | undefined, { scene }: About): string {
  if (mic.purpose !== 'parts') return mic.purpose;
  if (entry?.for.kind === 'parts') return entry.for.names.join(', ');
  return mic.wanted.map((source) => scene.sources[source]?.name ?? '').join(', ');
}

/** Of a mid-side pair the patterns that are set, not those it is decoded to. */
function patternOf(mic: Mic, { pattern }: Capsule, entry: MicEntry | undefined, place: number): string {
  if (mic.stereo !== 'mid-side') return pattern.name;
  if (place === 1) return 'figure-8';
  if (!entry?.pattern) return 'cardioid';
  return 'name' in entry.pattern ? entry.pattern.name : 'custom';
}

function padOf(capsules: readonly Capsule[], rows: readonly InputRow[], place: number): string {
  const row = rows.find(({ mic }) => mic === capsules[place]?.name);
  if (!row?.pad || !row.peak) return '';
  const { level, source, wanted } = row.peak;
  const from = wanted ? '' : ` from ${source}`;
  return `${row.pad === 'pad' ? 'wanted' : 'at hand'}: peaks near ${figure(level, 0)} dB${from}`;
}

const filterOf = ({ highPass, lowPass }: Mic): string =>
  [told('high-pass', highPass), told('low-pass', lowPass)].filter((text) => text !== '').join(', ');

const told = (name: string, filter: Filter | null): string =>
  filter === null ? '' : `${name} ${hertzName(filter.at)}, ${filter.slope} dB an octave`;

function remarksOf(mic: Mic, entry: MicEntry | undefined): string {
  const remarks = [
    mic.stereo === null ? '' : `stereo: ${mic.stereo}`,
    mic.switchable.length > 0 ? 'switchable: set the pattern' : '',
    mic.inside === null ? '' : 'inside, under the cover',
    entry?.fixed ? 'stays where it is' : '',
  ];
  return remarks.filter((text) => text !== '').join('; ');
}
