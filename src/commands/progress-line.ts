/** How far long work is, on one line of a terminal that is rewritten; nothing where nobody looks. */
type Terminal = { readonly isTTY?: boolean; write(text: string): unknown };

export type ProgressLine = {
  /** One more done; true now and then, when whoever works should let others in. */
  readonly step: () => boolean;
  readonly end: () => void;
};

/** Milliseconds before the first line, and between two. */
const PAUSE = 300;

export function progressLine(total: number, what: string, terminal: Terminal = process.stderr): ProgressLine {
  let done = 0;
  let last = performance.now();
  let width = 0;
  const step = (): boolean => {
    done++;
    if (performance.now() - last < PAUSE) return false;
    last = performance.now();
    const line = `${done} of ${total} ${what} …`;
    if (terminal.isTTY) terminal.write(`\r${line}`);
    width = line.length;
    return true;
  };
  const end = (): void => {
    if (terminal.isTTY && width > 0) terminal.write(`\r${' '.repeat(width)}\r`);
  };
  return { step, end };
}
