import { type Span, shift } from '../text/span';

/** A text as nested scalars, lists and maps with their places: all the dialect needs of YAML, and immutable. */

export interface ScalarNode {
  readonly kind: 'scalar';
  /** As written; where quoted or spread over lines, what it stands for. */
  readonly text: string;
  readonly quoted: boolean;
  readonly span: Span;
  /** YAML would not read it as written, and a `syntax` problem says so: report nothing more about it. */
  readonly misread?: true;
  /** Stands for a value written elsewhere: the text at its span is not its own. */
  readonly repeat?: true;
}

export interface ListNode {
  readonly kind: 'list';
  /** Null where nothing stands behind a dash. */
  readonly items: readonly (Node | null)[];
  readonly span: Span;
  readonly flow: boolean;
  readonly repeat?: true;
}

export interface Pair {
  readonly key: ScalarNode;
  readonly value: Node | null;
  readonly span: Span;
  /** The key stands there without its colon. */
  readonly bare?: true;
}

export interface MapNode {
  readonly kind: 'map';
  readonly pairs: readonly Pair[];
  readonly span: Span;
  readonly flow: boolean;
  readonly repeat?: true;
}

export type Node = ScalarNode | ListNode | MapNode;

/** The same node, `by` code units further on. */
export function shiftNode(node: Node, by: number): Node {
  if (by === 0) return node;
  const span = shift(node.span, by);
  if (node.kind === 'scalar') return { ...node, span };
  if (node.kind === 'list') return { ...node, span, items: node.items.map((item) => item && shiftNode(item, by)) };
  return { ...node, span, pairs: node.pairs.map((pair) => shiftPair(pair, by)) };
}

const shiftPair = (pair: Pair, by: number): Pair =>
  by === 0
    ? pair
    : {
        ...pair,
        key: shiftNode(pair.key, by) as ScalarNode,
        value: pair.value && shiftNode(pair.value, by),
        span: shift(pair.span, by),
      };
