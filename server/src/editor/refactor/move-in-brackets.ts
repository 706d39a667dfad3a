import type { ListNode, MapNode, Node, Pair } from '../../dialect/node';
import type { Edit } from '../../text/finding';
import type { Span } from '../../text/span';
import { insertion } from './insert';
import { nextLine, pairOf, wholeLines } from './nodes';

/** Where a join is: its list, under its key, in `traces`. */
export interface Standing {
  readonly traces: MapNode;
  readonly pair: Pair;
  readonly list: ListNode;
  readonly item: Node;
}

/**
 * The edits that move a join to another list where one of the two is in brackets. The only join of a list takes the key along, and where no
 * list of the new name is, the key is written anew. Undefined for a join that goes over lines.
 */
export function moveInBrackets(
  text: string,
  file: string,
  root: Node | null,
  { traces, pair, list, item }: Standing,
  to: string,
): Edit[] | undefined {
  const source = text.slice(item.span.start, item.span.end);
  if (/[\r\n]/.test(source)) return undefined;
  const alone = list.items.length === 1;
  const target = pairOf(traces, to);
  if (!target && alone) return [{ file, span: pair.key.span, text: to }];
  const flow = target ? target.value?.kind === 'list' && target.value.flow : traces.flow;
  // Bare words with a comma between them would be two joins in brackets.
  const join = flow && item.kind === 'scalar' && !item.quoted && source.includes(',') ? `[${source}]` : source;
  const comment = list.flow ? undefined : /^[ \t]+#[ \t]*(.*?)[ \t]*$/.exec(restOfLine(text, item.span.end))?.[1];
  const added = insertion(text, file, root, ['traces', to], 'list', [
    { text: join, ...(comment && { remark: comment }) },
  ]);
  const leaves = alone ? withoutPair(text, traces, pair) : withoutItem(text, list, item);
  if (!added) return undefined;
  // Where they touch they are one edit.
  const touch = leaves.start <= added.span.start && added.span.start <= leaves.end;
  return touch ? [{ ...added, span: leaves }] : [added, { file, span: leaves, text: '' }];
}

const restOfLine = (text: string, from: number): string =>
  text.slice(from, nextLine(text, from)).replace(/[\r\n]+$/, '');

function withoutItem(text: string, list: ListNode, item: Node): Span {
  return list.flow
    ? between(
        list.items.flatMap((one) => one?.span ?? []),
        item.span,
      )
    : wholeLines(text, item.span).span;
}

function withoutPair(text: string, map: MapNode, pair: Pair): Span {
  return map.flow
    ? between(
        map.pairs.map((one) => one.span),
        pair.span,
      )
    : wholeLines(text, pair.span).span;
}

/** A thing and the comma that parts it from the next, or from the one before it. */
function between(all: readonly Span[], one: Span): Span {
  const at = all.findIndex((other) => other.start === one.start);
  const [before, after] = [all[at - 1], all[at + 1]];
  if (after) return { start: one.start, end: after.start };
  return { start: before?.end ?? one.start, end: one.end };
}
