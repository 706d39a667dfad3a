import type { Span } from '../text/span';
import { type Composed, compose } from './compose';
import type { Node } from './node';
import { scan } from './scan';
import { composeSplit, type PieceCache } from './split';
import type { Problem } from './type';

export interface Tree {
  /** Null where the text holds nothing but comments, or is no text. */
  readonly root: Node | null;
  readonly problems: readonly Problem[];
  /** Stretches whose syntax is broken: say nothing about what they mean. */
  readonly broken: readonly Span[];
}

/**
 * Reads any text into a tree; never throws. With a cache the text is parsed piece by piece, and unchanged pieces are taken from it; the
 * result is the same.
 */
export function parseTree(text: string, cache?: PieceCache): Tree {
  const binary = /[\0\x01-\x08\x0e-\x1a\x1c-\x1f]/.exec(text);
  if (binary) {
    const span = { start: binary.index, end: binary.index + 1 };
    const message = 'This is not a text file: it holds bytes no text has.';
    return { root: null, problems: [{ check: 'syntax', span, message }], broken: [{ start: 0, end: text.length }] };
  }
  const draft = scan(text);
  const masked = draft.masked(draft.end);
  const composed = (cache && composeSplit(draft, masked, cache)) ?? compose(masked, 0, draft, draft.broken);
  const problems = [...draft.problems, ...composed.problems].sort((a, b) => a.span.start - b.span.start);
  const broken = [...draft.broken, ...stumbles(composed)].sort((a, b) => a.start - b.start);
  return { root: composed.root, problems, broken };
}

/** What each error of the parser makes doubtful: the innermost entry around it, or all where none is. */
function stumbles({ root, problems }: Composed): Span[] {
  return problems.map(({ span }) => (root && innermost(root, span.start)) ?? span);
}

function innermost(node: Node, at: number): Span | undefined {
  const inside = (span: Span) => span.start <= at && at <= span.end;
  let found: Span | undefined;
  for (let next: Node | null | undefined = node; next && next.kind !== 'scalar'; ) {
    if (next.kind === 'map') {
      const pair: { span: Span; value: Node | null } | undefined = next.pairs.find((pair) => inside(pair.span));
      if (!pair) break;
      found = pair.span;
      next = pair.value;
    } else {
      const item: Node | null | undefined = next.items.find((item) => item && inside(item.span));
      if (!item) break;
      found = item.span;
      next = item;
    }
  }
  return found;
}
