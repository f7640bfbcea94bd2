/** Commands that can run again on every save. */
export type Watched = { readonly watch?: true };

export async function maybeWatched<Code extends number>(
  plans: readonly string[],
  { watch }: Watched,
  run: () => Promise<Code>,
): Promise<Code | 0 | 2> {
  if (!watch) return run();
  const { againOnSave } = await import('../commands/again-on-save.ts');
  return againOnSave(plans, run);
}
