/** What a shell may offer in place of a value: said where the option or argument is made, as commander has no place for it. */
import type { Argument, Option } from 'commander';
import type { NamesOffer } from '../commands/completion.ts';

export type Offer =
  | { readonly from: 'files' }
  | { readonly from: 'words'; readonly words: readonly string[]; readonly list?: true }
  | NamesOffer;

const offers = new WeakMap<Argument | Option, Offer>();

/** The same option or argument, of which a shell is told. */
export function offering<T extends Argument | Option>(it: T, offer: Offer): T {
  offers.set(it, offer);
  return it;
}

/** Null where there is nothing to offer: a number, a title. */
export function offerOf(it: Argument | Option): Offer | null {
  const said = offers.get(it);
  if (said) return said;
  return it.argChoices ? { from: 'words', words: it.argChoices } : null;
}
