/** The one place where what is drawn becomes digits: millimetres on paper to a hundredth, the same on every machine. */
export const mm = (value: number): string => String(Math.round(value * 100) / 100 || 0);
