/** A word as it stands on a command line, without its quotes: as POSIX shells read it, an open quote taken as closed. */
export function unquoted(word: string): string {
  let plain = '';
  let quote = '';
  for (let i = 0; i < word.length; i++) {
    const char = word[i] ?? '';
    if (quote === '' && (char === '"' || char === "'")) quote = char;
    else if (char === quote) quote = '';
    else if (char === '\\' && quote !== "'") plain += word[++i] ?? '';
    else plain += char;
  }
  return plain;
}
