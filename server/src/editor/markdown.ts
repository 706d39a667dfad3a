/** Text of a board is written by whoever sent the file: nothing of it may turn into a link, an image or a heading. */

/** A text for running Markdown, on one line: every sign that means something there is escaped, addresses included. */
export const prose = (text: string): string =>
  text
    .replace(/[\s\u0085\u2028\u2029]+/g, ' ')
    .trim()
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/[\\`*_{}[\]()>#!|~@$]|:(?=\/\/)|^[-+=]|(?<=^\d+)[.)](?=\s|$)|(?<=\bwww)\./gi, '\\$&');

/** A text as inline code, fenced by more backticks than it holds. */
export function code(text: string): string {
  const plain = text.replace(/[\s\u0085\u2028\u2029]+/g, ' ').trim();
  if (plain === '') return '';
  const longest = Math.max(0, ...[...plain.matchAll(/`+/g)].map((run) => run[0].length));
  const fence = '`'.repeat(longest + 1);
  return longest === 0 ? fence + plain + fence : `${fence} ${plain} ${fence}`;
}

/** Lines as they stand, in a block fenced by more backticks than they hold. */
export function fenced(text: string): string {
  const longest = Math.max(2, ...[...text.matchAll(/`+/g)].map((run) => run[0].length));
  const fence = '`'.repeat(longest + 1);
  return `${fence}text\n${text.replace(/\n+$/, '')}\n${fence}`;
}

/** Lines of a list; nothing where there are none. */
export const bullets = (lines: readonly string[]): string => lines.map((line) => `- ${line}`).join('\n');

/** Paragraphs, the empty ones left out. */
export const paragraphs = (...parts: readonly (string | undefined | false)[]): string =>
  parts.filter((part): part is string => typeof part === 'string' && part !== '').join('\n\n');

/** The first of a list, and how many more there are. */
export function shorten(items: readonly string[], most = 12): string {
  const shown = items.slice(0, most).join(', ');
  return items.length > most ? `${shown} and ${items.length - most} more` : shown;
}

/**
 * A picture of ours, carried in the text itself: nothing is fetched. `alt` is Markdown; SVG is taken as UTF-8.
 * Editors cut a hover off at about 100,000 characters: keep a picture below 60 kB.
 */
export function image(alt: string, svg: string): string {
  let bytes = '';
  for (const byte of new TextEncoder().encode(svg)) bytes += String.fromCharCode(byte);
  return `![${alt}](data:image/svg+xml;base64,${btoa(bytes)})`;
}
