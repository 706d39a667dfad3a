import type { Board } from '../../board/board';
import type { Part } from '../../board/part';
import { boardFile } from '../../dialect/board-file';
import type { Type, Word } from '../../dialect/type';
import type { Span } from '../../text/span';

/** What is read at a key, as far as this file cares: see `At` and `Entry` of the dialect. */
interface Read {
  readonly span?: Span;
  readonly text?: string;
  readonly value?: unknown;
  readonly short?: { readonly key: Word };
  readonly scalar?: unknown;
  readonly list?: unknown;
  readonly map?: unknown;
}

/** Every word of a board file that names a point, in reading order of its keys. Driven by the table of keys: none is forgotten. */
export function pointWords(board: Board): Word[] {
  const words: Word[] = [];
  const walk = (type: Type, read: unknown): void => {
    if (typeof read !== 'object' || read === null) return;
    const at = read as Read;
    switch (type.kind) {
      case 'text':
        if (type.names === 'point' && at.text !== undefined && at.span) words.push({ text: at.text, span: at.span });
        return;
      case 'words':
        if (type.names === 'point') words.push(...((at.value as readonly Word[] | undefined) ?? []));
        return;
      case 'list':
        for (const item of (at.value as readonly unknown[] | undefined) ?? []) walk(type.of, item);
        return;
      case 'entries':
        for (const entry of (at.value as readonly { value: unknown }[] | undefined) ?? []) walk(type.of, entry.value);
        return;
      case 'record': {
        const map = (at.value ?? {}) as Record<string, unknown>;
        for (const [name, key] of Object.entries(type.keys)) walk((key as { type: Type }).type, map[name]);
        if (at.short && type.otherNames === 'point') words.push(...split(at.short.key));
        return;
      }
      case 'either':
        if (type.scalar) walk(type.scalar, at.scalar);
        if (type.list) walk(type.list, at.list);
        if (type.map) walk(type.map, at.map);
    }
  };
  walk(boardFile, board.parsed);
  return words;
}

const aligned = (word: Word): boolean => word.span.end - word.span.start === word.text.length;

/** The points in a key such as `U1.2 J2.sleeve`. */
const split = (key: Word): Word[] =>
  aligned(key)
    ? [...key.text.matchAll(/[^\s,]+/g)].map((match) => ({
        text: match[0],
        span: { start: key.span.start + match.index, end: key.span.start + match.index + match[0].length },
      }))
    : [key];

/**
 * The edits that write a part's pins as the data sheet counts them. Pins written by name become numbers where the number changes, or
 * everywhere if `names`, as another pinout has other names.
 * @param map written pin → data-sheet pin
 * @returns undefined where a pin has no counterpart, or a word cannot be told from what is around it
 */
export function renumber(
  board: Board,
  part: Part,
  map: Readonly<Record<string, string>>,
  names = false,
): { span: Span; text: string }[] | undefined {
  const edits = new Map<number, { span: Span; text: string }>();
  for (const word of pointWords(board)) {
    const ref = board.point(word.text)?.ref;
    if (!ref || ref.part !== part.designator || ref.pin === undefined) continue;
    const to = map[ref.pin];
    if (to === undefined || !aligned(word)) return undefined;
    const text = part.point(to);
    if (text !== word.text && (to !== ref.pin || names)) edits.set(word.span.start, { span: word.span, text });
  }
  return [...edits.values()].sort((a, b) => a.span.start - b.span.start);
}
