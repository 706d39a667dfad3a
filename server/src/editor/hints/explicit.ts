import type { Span } from '../../text/span';
import { scalar } from '../complete/item';
import { blanks, breakOf, lineStart } from '../refactor/nodes';

/** What is worked out, written into the file: the edits behind hints. */

interface TextEdit {
  readonly span: Span;
  readonly text: string;
}

interface Written {
  readonly span: Span;
  readonly text: string;
}

interface WrittenMap {
  readonly span: Span;
  readonly keys: ReadonlyMap<string, Span>;
}

const pairs = (added: Readonly<Record<string, string>>, flow: boolean): string[] =>
  Object.entries(added).map(([key, value]) => `${key}: ${scalar(value, { flow })}`);

/** A map in place of the text that stood for one of its values; undefined where that stands elsewhere or goes over lines. */
export function asMap(
  text: string,
  name: string,
  value: Written,
  added: Readonly<Record<string, string>>,
): TextEdit | undefined {
  const source = text.slice(value.span.start, value.span.end);
  const quoted = /^(["']).*\1$/.test(source);
  if (/[\r\n]/.test(source) || (!quoted && source !== value.text)) return undefined;
  const first = `${name}: ${quoted ? source : scalar(source, { flow: true })}`;
  return { span: value.span, text: `{${[first, ...pairs(added, true)].join(', ')}}` };
}

/** Keys added behind another of a map, in braces or on lines of their own as the map is; undefined where the value goes over lines. */
export function keysBehind(
  text: string,
  map: WrittenMap,
  key: string,
  value: Span,
  added: Readonly<Record<string, string>>,
): TextEdit | undefined {
  const at = map.keys.get(key);
  // What is repeated from elsewhere has its places there.
  if (!at || at.start < map.span.start || map.span.end < value.end || /[\r\n]/.test(text.slice(at.start, value.end)))
    return undefined;
  if (text[map.span.start] === '{') {
    return { span: { start: value.end, end: value.end }, text: ['', ...pairs(added, true)].join(', ') };
  }
  const end = value.end + /^[^\r\n]*/.exec(text.slice(value.end))![0].length;
  const indent = breakOf(text) + blanks(at.start - lineStart(text, at.start));
  return { span: { start: end, end }, text: ['', ...pairs(added, false)].join(indent) };
}
