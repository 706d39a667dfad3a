/** A text with `$0` where the cursor is. */
export function marked(text: string): { text: string; offset: number } {
  const offset = text.indexOf('$0');
  if (offset < 0) throw new Error('no $0 in the text');
  return { text: text.slice(0, offset) + text.slice(offset + 2), offset };
}
