/** Where a figure of the catalogue comes from. No figure stands without one. */

export type Grade = 'published' | 'from-memory' | 'estimate';

export type Origin = {
  readonly grade: Grade;
  /** Keys into `shared/catalogue/sources.yaml`. */
  readonly sources: readonly string[];
  /** How it was derived or why it is believed; always there for an estimate. */
  readonly note: string | null;
};

/** A set of figures together with an origin for each of them. */
export type WithOrigin<Figures> = Figures & { readonly from: { readonly [Figure in keyof Figures]: Origin } };

/** As the file writes it: one origin for the figures it names. */
export type Claim = {
  readonly of: readonly string[];
  readonly grade: Grade;
  readonly source: string | readonly string[];
  readonly note?: string;
};

/** Origin of the figure the file calls `figure`. Throws where the shipped catalogue lacks one: that is our bug. */
export function originOf(claims: readonly Claim[], figure: string, entry: string): Origin {
  const claim = claims.find(({ of }) => of.includes(figure));
  if (!claim) throw new Error(`catalogue: ${entry} gives ${figure} without an origin`);
  return { grade: claim.grade, sources: [claim.source].flat(), note: claim.note ?? null };
}
