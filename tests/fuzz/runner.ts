/** A process of its own that carries inputs as they are asked for: a hang, a crash or a flood of memory ends it alone. */
import { cpSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { amissIn, strangeIn } from './amiss.ts';
import { carry } from './carry.ts';
import { inputAt, type Shelf, shelfOf } from './inputs.ts';

export type Order = { readonly run: number; readonly index: number };
export type Outcome = {
  readonly index: number;
  readonly kind: string;
  readonly stood: boolean;
  readonly faults: readonly string[];
  /** Of the processor, ms. */
  readonly time: number;
  /** The most that the process has held so far, MB. */
  readonly memory: number;
};

/** Nothing that is written to the streams gets lost, and no not-a-number gets past JSON as null. */
function listen(): string[] {
  const heard: string[] = [];
  for (const stream of [process.stdout, process.stderr]) {
    stream.write = ((text: string, done?: (error?: Error | null) => void) => {
      heard.push(...amissIn(text, 'text').map((fault) => `on a stream: ${fault}`));
      if (typeof done === 'function') done(null);
      return true;
    }) as typeof stream.write;
  }
  const plain = JSON.stringify;
  JSON.stringify = ((value: unknown, ...rest: []) => {
    const strange = strangeIn(value);
    if (strange) heard.push(`JSON of a number that is none: ${strange}`);
    return plain(value, ...rest);
  }) as typeof JSON.stringify;
  return heard;
}

const [, , fixtures = '', folder = ''] = process.argv;
const heard = listen();
cpSync(fixtures, folder, { recursive: true });
const shelf: Shelf = shelfOf(fixtures);

async function outcomeOf({ run, index }: Order): Promise<Outcome> {
  const input = inputAt(shelf, run, index);
  put(input.path, input.bytes);
  if (input.beside) put(input.beside.path, input.beside.bytes);
  const before = process.cpuUsage();
  heard.length = 0;
  const carried = await carry(folder, input).catch((error: unknown) => ({
    faults: [`it throws ${error instanceof Error ? error.stack : String(error)}`],
    stood: false,
  }));
  const { user, system } = process.cpuUsage(before);
  if (input.beside) put(input.beside.path, shelf.read(input.beside.path));
  const { maxRSS } = process.resourceUsage();
  const faults = [...carried.faults, ...new Set(heard)];
  return {
    index,
    kind: input.kind,
    stood: carried.stood,
    faults,
    time: (user + system) / 1000,
    memory: maxRSS / 1024,
  };
}

function put(path: string, bytes: Uint8Array): void {
  const file = join(folder, path);
  mkdirSync(dirname(file), { recursive: true });
  rmSync(file, { force: true });
  writeFileSync(file, bytes);
}

process.on('message', (order: Order) => void outcomeOf(order).then((outcome) => process.send?.(outcome)));
process.on('disconnect', () => process.exit());
