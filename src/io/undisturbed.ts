const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Does what must not be left half done; an interrupt counts when it is over. Whoever listens for it already hears it as ever. */
export async function undisturbed(work: () => void): Promise<void> {
  const unheard = SIGNALS.filter((signal) => process.listenerCount(signal) === 0);
  const held: NodeJS.Signals[] = [];
  const hold = (signal: NodeJS.Signals) => void held.push(signal);
  for (const signal of unheard) process.on(signal, hold);
  try {
    work();
  } finally {
    // a signal is told between two turns
    for (let turn = 0; turn < 2; turn++) await new Promise((next) => setImmediate(next));
    for (const signal of unheard) process.off(signal, hold);
    if (held[0]) process.kill(process.pid, held[0]);
  }
}
