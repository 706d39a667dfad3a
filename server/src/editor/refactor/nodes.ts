import type { MapNode, Node, Pair } from '../../dialect/node';
import { type Span, touches } from '../../text/span';

/** Finding one's way in the tree and the lines it stands on. */

/** The entry of a map under a key; undefined where there is none, or no map. */
export const pairOf = (node: Node | null | undefined, name: string): Pair | undefined =>
  node?.kind === 'map' ? node.pairs.find((pair) => pair.key.text === name) : undefined;

/** A map that is written here, not repeated from elsewhere. */
export const asMap = (node: Node | null | undefined): MapNode | undefined =>
  node?.kind === 'map' && !node.repeat ? node : undefined;

/** The entry of a map that a selection touches. */
export const touched = (map: MapNode | undefined, selection: Span): Pair | undefined =>
  map?.pairs.findLast((pair) => touches(pair.span, selection.start) || touches(pair.span, selection.end));

/** Where the line of an offset starts. */
export function lineStart(text: string, offset: number): number {
  let at = offset;
  while (at > 0 && text[at - 1] !== '\n' && text[at - 1] !== '\r') at--;
  return at;
}

/** Before the line break that ends the line. */
export function lineEnd(text: string, offset: number): number {
  const at = text.slice(offset).search(/[\r\n]/);
  return at < 0 ? text.length : offset + at;
}

/** Behind the line break that ends the line; the end of the text on its last line. */
export function nextLine(text: string, offset: number): number {
  const match = /\r\n|\n|\r/.exec(text.slice(offset));
  return match ? offset + match.index + match[0].length : text.length;
}

/** The line break a text uses. */
export const breakOf = (text: string): string => (text.includes('\r\n') ? '\r\n' : '\n');

/** Whole lines, each ended by a line break. */
export function wholeLines(text: string, span: Span): { readonly span: Span; readonly text: string } {
  const whole = { start: lineStart(text, span.start), end: nextLine(text, span.end) };
  const lines = text.slice(whole.start, whole.end);
  return { span: whole, text: /[\r\n]$/.test(lines) ? lines : lines + breakOf(text) };
}

export const blanks = (count: number): string => ' '.repeat(count);
