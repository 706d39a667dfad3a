import type { ListNode, Pair } from '../../dialect/node';
import { evidences } from '../../dialect/words';
import type { Edit } from '../../text/finding';
import { type Span, touches } from '../../text/span';
import type { Action } from '../actions';
import type { BoardAnalysis } from '../analysis';
import { asMap, blanks, breakOf, lineStart, nextLine, pairOf, wholeLines } from './nodes';

/**
 * A join goes over to another list of `traces`: an assumed one that has been buzzed out, most of all. For lists of one join a line; the
 * comment behind it goes along.
 */
export function moveJoin({ parsed, text, uri }: BoardAnalysis, selection: Span): Action[] {
  const traces = pairOf(parsed.tree.root, 'traces');
  const map = asMap(traces?.value);
  if (!traces || !map || map.flow) return [];
  for (const { name } of evidences) {
    const pair = pairOf(map, name);
    const list = pair?.value?.kind === 'list' ? pair.value : undefined;
    if (!pair || !list || list.flow || list.repeat) continue;
    const item = list.items.find((one) => one && touches(one.span, selection.start));
    if (!item || !onOwnLines(text, item.span)) continue;
    return evidences.flatMap(({ name: to, doc }): Action[] => {
      if (to === name) return [];
      const insert = insertion(text, uri, map.pairs, to, item.span, list, pair);
      if (!insert) return [];
      const leaves = list.items.length > 1 ? wholeLines(text, item.span).span : wholeLines(text, pair.span).span;
      const title = name === 'assumed' && to === 'buzzed' ? 'Proven: move to buzzed' : `Move to ${to}: ${doc}`;
      // Where one edit ends the other may start: together they are one.
      const edits =
        insert.span.start === leaves.start
          ? [{ ...insert, span: leaves }]
          : [insert, { file: uri, span: leaves, text: '' }];
      return [{ title, kind: 'refactor', safe: false, edits }];
    });
  }
  return [];
}

/** Nothing but its dash stands before it, and nothing but a comment behind. */
const onOwnLines = (text: string, span: Span): boolean =>
  /^\s*-\s+$/.test(text.slice(lineStart(text, span.start), span.start)) &&
  /^[ \t]*(#.*)?[\r\n]*$/.test(text.slice(span.end, nextLine(text, span.end)));

function insertion(
  text: string,
  file: string,
  pairs: readonly Pair[],
  to: string,
  item: Span,
  from: ListNode,
  source: Pair,
): Edit | undefined {
  const moved = wholeLines(text, item).text;
  const line = moved.trimStart();
  const target = pairs.find((pair) => pair.key.text === to);
  if (!target) {
    const key = source.key.span.start - lineStart(text, source.key.span.start);
    const at = lineStart(text, source.span.start);
    const head = `${blanks(key)}${to}:${breakOf(text)}`;
    return { file, span: { start: at, end: at }, text: head + blanks(key + 2) + line };
  }
  const list = target.value;
  if (list?.kind !== 'list' || list.flow || list.repeat) return undefined;
  const last = list.items.findLast((one) => one !== null);
  if (!last || !onOwnLines(text, last.span)) return undefined;
  const dash = text.slice(lineStart(text, last.span.start)).search(/\S/);
  const own = text.slice(lineStart(text, from.span.start)).search(/\S/);
  const at = nextLine(text, last.span.end);
  const open = at === text.length && !/[\r\n]$/.test(text) ? breakOf(text) : '';
  return { file, span: { start: at, end: at }, text: open + (dash === own ? moved : blanks(dash) + line) };
}
