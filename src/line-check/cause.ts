/** What may be otherwise on the day than the plan has it, one thing at a time. */

export const CAUSE_KINDS = [
  'pattern', // a microphone has another pattern
  'aim', // a microphone, or a pair as a whole, looks elsewhere
  'mics', // two microphones stand in each other's place
  'channels', // two channels are in each other's place
  'facing', // a player, or what stands by itself, faces elsewhere
  'door', // a door or window stands otherwise
  'baffle-missing', // a baffle of the plan is not there
  'baffle-extra', // a baffle stands where the plan has none
  'reading', // one reading by itself is off
] as const;

export type CauseKind = (typeof CAUSE_KINDS)[number];

export type Cause = {
  readonly kind: CauseKind;
  /** Whose it is: one name, or two. Causes of one kind and the same names differ in `how` alone. */
  readonly about: readonly string[];
  readonly how: How;
};

export type How =
  | { readonly pattern: string }
  /** As one sees it who looks along the aim, or from above for a player. */
  | { readonly degrees: number; readonly toward: 'left' | 'right' | 'up' | 'down' }
  | { readonly state: 'closed' | 'ajar' | 'open' }
  /** How far one reading is from what fits, dB, in all octaves alike. */
  | { readonly off: number }
  | null;

/** A cause with the levels it would give, packed as the readings are. */
export type Tried = { readonly cause: Cause; readonly predicted: Float64Array };

/** The same for causes that differ in `how` alone. */
export const keyOf = ({ kind, about }: Cause): string => JSON.stringify([kind, ...about]);
