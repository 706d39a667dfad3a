import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Node } from '../../server/src/dialect/node';
import { parseBoard, parsePinout } from '../../server/src/dialect/parse';
import { scan } from '../../server/src/dialect/scan';
import { composeSplit, PieceCache } from '../../server/src/dialect/split';
import { parseTree } from '../../server/src/dialect/tree';
import type { Span } from '../../server/src/text/span';
import { anyText } from './any-text';

function check(text: string, root: Node | null, spans: readonly Span[]): void {
  const inside = ({ start, end }: Span) => expect(0 <= start && start <= end && end <= text.length).toBe(true);
  spans.forEach(inside);
  const walk = (node: Node | null): void => {
    if (!node) return;
    inside(node.span);
    if (node.kind === 'scalar') {
      const source = text.slice(node.span.start, node.span.end);
      if (!node.quoted && !node.misread && !node.repeat && !/[\r\n]/.test(source)) expect(source).toBe(node.text);
    } else if (node.kind === 'list') node.items.forEach(walk);
    else {
      for (const pair of node.pairs) {
        inside(pair.span);
        walk(pair.key);
        walk(pair.value);
      }
    }
  };
  walk(root);
}

describe('any text at all', () => {
  test('is read without an exception, with every place inside it and every scalar as it stands there', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        for (const parse of [parseBoard, parsePinout]) {
          const { tree, problems, broken } = parse(text);
          const spans = problems.flatMap(({ span, related = [], fixes = [] }) => [
            span,
            ...related.map((other) => other.span),
            ...fixes.flatMap((fix) => fix.edits.map((edit) => edit.span)),
          ]);
          check(text, tree.root, [...spans, ...broken]);
          for (const { message } of problems) expect(message).toMatch(/^[^\n]+\.$|\?$/);
        }
      }),
      { numRuns: 1500, seed: 20 },
    );
  });

  test('gives the same tree and problems piece by piece as in one go', () => {
    const cache = new PieceCache();
    let split = 0;
    fc.assert(
      fc.property(anyText, (text) => {
        const pieces = parseTree(text, cache);
        expect(pieces).toEqual(parseTree(text));
        if (text.length > 500) {
          const draft = scan(text);
          if (composeSplit(draft, draft.masked(draft.end), new PieceCache())) split++;
        }
      }),
      { numRuns: 2500, seed: 21 },
    );
    // Most texts must really have gone through pieces, or the comparison says nothing.
    expect(split).toBeGreaterThan(300);
  });
});
