import type { Node } from '../dialect/node';
import { type Span, touches } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { targetAt } from './target';

/** What a growing selection takes in, the smallest first: word, value, entry, list or map, and so on to the whole file. */
export function selections(analysis: BoardAnalysis | PinoutAnalysis, offset: number): Span[] {
  const { text, parsed } = analysis;
  const found: Span[] = [{ start: 0, end: text.length }];
  let node: Node | null | undefined = parsed.tree.root;
  while (node && !node.repeat) {
    if (touches(node.span, offset)) found.push(node.span);
    if (node.kind === 'scalar') break;
    if (node.kind === 'list') node = node.items.findLast((item) => item && touches(item.span, offset));
    else {
      const pair: (typeof node.pairs)[number] | undefined = node.pairs.findLast(({ span }) => touches(span, offset));
      if (pair) found.push(pair.span);
      node = pair && (touches(pair.key.span, offset) ? pair.key : pair.value);
    }
  }
  const target = targetAt(analysis, offset);
  if (target) {
    found.push(target.span);
    const dot = target.text.indexOf('.');
    if (target.names === 'point' && dot > 0) {
      const middle = target.span.start + dot;
      found.push(
        offset <= middle ? { start: target.span.start, end: middle } : { start: middle + 1, end: target.span.end },
      );
    }
  }
  const grown: Span[] = [];
  for (const span of found.reverse()) {
    const last = grown.at(-1);
    // Each holds the one before it, and more.
    if (!last) grown.push(span);
    else if (span.start <= last.start && last.end <= span.end && span.end - span.start > last.end - last.start)
      grown.push(span);
  }
  return grown;
}
