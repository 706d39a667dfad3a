import { type Span, touches } from '../text/span';
import type { Node, Pair, ScalarNode } from './node';
import { itemOf, keyAt, type Path, scalarForm, valueAt } from './step';
import type { Key, Type, Word } from './type';

/** One step down the tree: into the value of a key, or into an entry of a list. */
export interface Step {
  readonly name: string | number;
  /** The key; of a list entry, the entry. */
  readonly span: Span;
  /** The key in the table, where it is one of a fixed set. */
  readonly key?: Key;
  /** What the value is read as; undefined where the table knows nothing here. */
  readonly type: Type | undefined;
  readonly node: Node | null;
}

/** The innermost thing at an offset of a text that was read. */
export interface Located {
  readonly steps: readonly Step[];
  readonly path: Path;
  /** What the innermost value is read as, and the value. On a key, those of its value. */
  readonly type: Type | undefined;
  readonly node: Node | null;
  /** On the last step's key, on a scalar, or between things. */
  readonly on: 'key' | 'value' | 'blank';
  /** The map that holds the key the offset is on. */
  readonly holder?: Type;
  /** The word at the offset, where the value is one or several. */
  readonly word?: Word;
}

/** Finds what stands at an offset, going by the tree. For a place where nothing stands yet, see `contextAt`. */
export function locate(type: Type, root: Node | null, text: string, offset: number): Located {
  const steps: Step[] = [];
  let at: Type | undefined = type;
  let node = root;
  const result = (on: Located['on'], more: Partial<Located> = {}): Located => ({
    steps,
    path: steps.map((step) => step.name),
    type: at,
    node,
    on,
    ...more,
  });
  while (node) {
    if (node.repeat && node.kind !== 'scalar') return result('blank');
    if (node.kind === 'scalar') {
      if (!touches(node.span, offset)) return result('blank');
      const word = wordAt(at, node, text, offset);
      return result('value', word && { word });
    }
    const holder: Type | undefined = at;
    if (node.kind === 'map') {
      const pair: Pair | undefined = last(node.pairs, (pair) => touches(pair.span, offset));
      if (!pair) return result('blank');
      const { key } = pair;
      const known = keyAt(at, key.text);
      at = valueAt(at, key.text);
      steps.push({ name: key.text, span: key.span, type: at, node: pair.value, ...(known && { key: known }) });
      node = pair.value;
      if (touches(key.span, offset)) return result('key', { ...(holder && { holder }), ...keyWord(key, text, offset) });
    } else {
      const index: number = node.items.findLastIndex((item) => item && touches(item.span, offset));
      if (index < 0) return result('blank');
      const item: Node = node.items[index]!;
      at = itemOf(at);
      steps.push({ name: index, span: item.span, type: at, node: item });
      node = item;
    }
  }
  return result('blank');
}

/** The last one that holds: where one thing ends and the next begins, the cursor is on the next. */
const last = <T>(all: readonly T[], holds: (one: T) => boolean): T | undefined => all.findLast(holds);

/** Keys of short forms hold several points: "U1.2 J2.sleeve". */
function keyWord(key: ScalarNode, text: string, offset: number): { word?: Word } {
  const word = wordIn(key, text, offset);
  return word ? { word } : {};
}

function wordAt(type: Type | undefined, node: ScalarNode, text: string, offset: number): Word | undefined {
  return scalarForm(type)?.kind === 'words' ? wordIn(node, text, offset) : { text: node.text, span: node.span };
}

const wordIn = (node: ScalarNode, text: string, offset: number): Word | undefined =>
  node.repeat || node.misread ? undefined : wordsIn(node, text).find(({ span }) => touches(span, offset));

/** The words of a scalar as they stand in the text, split at blanks and commas, quotes left out. */
export function wordsIn(node: ScalarNode, text: string): Word[] {
  const quotes = node.quoted ? 1 : 0;
  const start = node.span.start + quotes;
  return [...text.slice(start, node.span.end - quotes).matchAll(/[^\s,]+/g)].map((match) => ({
    text: match[0],
    span: { start: start + match.index, end: start + match.index + match[0].length },
  }));
}
