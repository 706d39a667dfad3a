import type { ListNode, Pair } from '../../dialect/node';
import { evidences } from '../../dialect/words';
import type { Edit } from '../../text/finding';
import { type Span, touches } from '../../text/span';
import type { Action } from '../actions';
import type { BoardAnalysis } from '../analysis';
import { moveInBrackets, type Standing } from './move-in-brackets';
import { asMap, blanks, breakOf, lineStart, nextLine, pairOf, wholeLines } from './nodes';

/**
 * A join goes over to another list of `traces`: an assumed one that has been buzzed out, most of all. The comment behind a join on a line of
 * its own goes along.
 */
export function moveJoin({ parsed, text, uri }: BoardAnalysis, selection: Span): Action[] {
  const { root } = parsed.tree;
  const traces = asMap(pairOf(root, 'traces')?.value);
  if (!traces) return [];
  for (const { name } of evidences) {
    const pair = pairOf(traces, name);
    const list = pair?.value?.kind === 'list' ? pair.value : undefined;
    const item = list?.repeat ? undefined : list?.items.find((one) => one && touches(one.span, selection.start));
    if (!pair || !list || !item) continue;
    const standing = { traces, pair, list, item };
    return evidences.flatMap(({ name: to, doc }): Action[] => {
      if (to === name) return [];
      const edits = moveLines(text, uri, standing, to) ?? moveInBrackets(text, uri, root, standing, to);
      if (!edits) return [];
      const title = name === 'assumed' && to === 'buzzed' ? 'Proven: move to buzzed' : `Move to ${to}: ${doc}`;
      return [{ title, kind: 'move', safe: false, edits }];
    });
  }
  return [];
}

/** The edits between lists of one join a line; undefined where one of them is in brackets. */
function moveLines(text: string, uri: string, { traces, pair, list, item }: Standing, to: string): Edit[] | undefined {
  if (traces.flow || list.flow || !onOwnLines(text, item.span)) return undefined;
  const insert = insertion(text, uri, traces.pairs, to, item.span, list, pair);
  if (!insert) return undefined;
  const leaves = list.items.length > 1 ? wholeLines(text, item.span).span : wholeLines(text, pair.span).span;
  // Where one edit ends the other may start: together they are one.
  return insert.span.start === leaves.start
    ? [{ ...insert, span: leaves }]
    : [insert, { file: uri, span: leaves, text: '' }];
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
