/** Long work as generators that pause as they go: in one go, in stretches that leave others their turn, or until stopped. */

/** What long work reports as it goes, and what stops it. */
export type StepOptions<Progress> = {
  readonly onProgress?: ((progress: Progress) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
};

/** In one go. */
export function finished<P, T>(steps: Generator<P, T>, onProgress?: (progress: P) => void): T {
  let step = steps.next();
  for (; !step.done; step = steps.next()) onProgress?.(step.value);
  return step.value;
}

/** Milliseconds of work between two pauses. */
const STRETCH = 50;

/** Whether to pause, asked once a step; and the pause, in which timers, signals and other work have their turn. */
export function stretches() {
  let since = performance.now();
  const pause = async () => {
    await new Promise((resume) => setTimeout(resume));
    since = performance.now();
  };
  return { isDue: () => performance.now() - since >= STRETCH, pause };
}

/** In stretches; progress is reported before each pause. */
export async function inStretches<P, T>(
  steps: Generator<P, T>,
  onProgress?: (progress: P) => void,
): Promise<T> {
  const { isDue, pause } = stretches();
  for (let step = steps.next(); ; step = steps.next()) {
    if (step.done) return step.value;
    if (!isDue()) continue;
    onProgress?.(step.value);
    await pause();
  }
}

/** The steps before the signal; what they come to, and null where it came. */
export function* until<P, T>(steps: Generator<P, T>, signal?: AbortSignal): Generator<P, T | null> {
  for (let step = steps.next(); ; step = steps.next()) {
    if (step.done) return step.value;
    if (signal?.aborted) return null;
    yield step.value;
  }
}
