/** Two open microphones that comb. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Mic, Scene } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import type { TimingRow } from '../timing/timing.ts';
import { inDb } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';

/** From peak to dip, dB: what a copy 9.5 dB down leaves, as the 3:1 rule allows. 20·lg((1+⅓)/(1−⅓)) = 6.0. */
export const RIPPLE = 6;

/** The deepest comb of each two mics for parts. */
export function timingPitfalls(scene: Scene, _result: Transfer, { timing }: Report): Pitfall[] {
  const seen = new Set<string>();
  return timing.rows.flatMap((row) => {
    const mics = [row.own, row.other].map((name) => micOf(scene, name));
    const [own, other] = mics;
    if (!own || !other || row.ripple < RIPPLE || !row.notches || !isBleed(scene, row, other, own)) return [];
    const key = JSON.stringify(mics.map((mic) => mic?.name).sort());
    if (seen.has(key)) return [];
    seen.add(key);
    return [pitfallOf(row, [own, other])];
  });
}

function pitfallOf({ part, own, other, ...comb }: TimingRow, mics: readonly [Mic, Mic]): Pitfall {
  const [first, second] = comb.notches ?? [0, 0];
  const depth = comb.over ? `over ${Math.round(comb.ripple)}` : inDb(comb.ripple);
  const notch = Math.round(first > 0 ? first : second);
  const sentence = `${own} and ${other} comb on ${part}: ${depth} dB, a dip at ${notch} Hz`;
  const mend = mendFor(comb.align, mics);
  return { kind: 'comb', about: [own, other, part], weight: comb.ripple, sentence, mend, path: mics[0].path };
}

/** One capsule of a pair cannot be delayed alone, and a line not be moved. */
function mendFor(align: TimingRow['align'], mics: readonly Mic[]): string {
  const move = `move one of the two further from the other's source`;
  if (align === null || mics.some(({ capsules }) => capsules.length > 1)) return move;
  const delay = `delay ${align.mic} by ${(1000 * align.by).toFixed(2)} ms`;
  return mics.some(({ line }) => line) ? delay : `${delay}, or ${move}`;
}

/** Neither is for everyone, and a mic over a kit that a spot stands under is no bleed; a line and an amplifier's mic are. */
function isBleed({ sources }: Scene, { source }: TimingRow, other: Mic, own: Mic): boolean {
  if (own.purpose !== 'parts' || other.purpose !== 'parts') return false;
  const index = sources.findIndex(({ name }) => name === source);
  return own.line || other.line || !other.wanted.includes(index);
}

/** By its own name or that of one of its capsules. */
const micOf = ({ mics, capsules }: Scene, name: string): Mic | undefined =>
  mics.find((mic) => mic.name === name) ??
  mics.find((mic) => mic.capsules.some((index) => capsules[index]?.name === name));
