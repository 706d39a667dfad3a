import type { Span } from '../text/span';
import { behind, type Complaints } from './complain';
import { instead, listKeys } from './describe';
import { type Misread, misreadProblem } from './misread';
import { fold, meant, nearest } from './nearest';
import type { MapNode, Node, Pair, ScalarNode } from './node';
import type { read as readType } from './read';
import { clip, readQuantity } from './read-scalar';
import type { At, EntriesType, Entry, Key, RecordType, Type } from './type';

type Reader = typeof readType;

/** A map with known keys, or the short form that stands for one. */
export function readRecord(type: RecordType, node: MapNode, to: Complaints, read: Reader): At<Record<string, unknown>> {
  const known: Record<string, Key> = type.keys;
  const keys = new Map<string, Span>();
  const value: Record<string, unknown> = {};
  const result = { span: node.span, text: '', value, keys };
  if (type.other && isShort(node, known))
    return { ...result, short: readShort(type, node.pairs[0]!, to, read) } as typeof result;

  const isKey = (name: string) => Object.hasOwn(known, name);
  const half = (name: string) => isKey(name) || startsKey(name, known, node);
  for (const pair of commaCuts(node, half, to)) {
    const name = pair.key.text;
    if (!isKey(name)) {
      unknownKey(type, node, pair, to);
      continue;
    }
    if (twice(keys, pair, to)) continue;
    value[name] = read(known[name]!.type, pair.value, behind(pair), to, { name, key: known[name]! });
  }
  for (const [name, { required, example }] of Object.entries(known)) {
    if (!required || keys.has(name)) continue;
    const span = node.pairs[0]?.key.span ?? node.span;
    to.add({ check: 'missing-key', span, message: `\`${name}\` is missing: \`${example}\`.` }, node.span);
  }
  return result;
}

/** A map whose keys the writer names. */
export function readEntries(
  type: EntriesType,
  node: MapNode,
  to: Complaints,
  read: Reader,
): At<readonly Entry<unknown>[]> {
  const seen = new Map<string, Span>();
  const value: Entry<unknown>[] = [];
  const half = (name: string) => /^[A-Za-z]{0,3}\d+$/.test(name) || !takesScalar(type.of);
  for (const pair of commaCuts(node, half, to)) {
    const { key } = pair;
    const { keyChoices } = type;
    if (keyChoices && !key.misread && !keyChoices.some((choice) => choice.name === key.text)) {
      const near = meant(
        key.text,
        keyChoices.map((choice) => choice.name),
      );
      const say = near ? `Did you mean \`${near}\`?` : instead(keyChoices);
      to.about(
        key,
        'unknown-key',
        `\`${clip(key.text)}\` is not known here. ${say}`,
        near ? to.replace(key, near) : [],
      );
      continue;
    }
    if (twice(seen, pair, to)) continue;
    const of: Type = type.byKey?.[key.text] ?? type.of;
    value.push({
      key: { text: key.text, span: key.span },
      value: read(of, pair.value, behind(pair), to),
      span: pair.span,
    });
  }
  return { span: node.span, text: '', value };
}

/** Notes a key, and reports it if it was there before: the first one holds. */
function twice(seen: Map<string, Span>, { key }: Pair, to: Complaints): boolean {
  const first = seen.get(key.text);
  if (!first) {
    seen.set(key.text, key.span);
    return false;
  }
  to.add({
    check: 'duplicate-name',
    span: key.span,
    message: `\`${clip(key.text)}\` stands here twice; the first one holds.`,
    related: [{ span: first, message: 'It stands here first.' }],
  });
  return true;
}

/** One entry whose key is no key of the map, nor a slip of one. */
function isShort(node: MapNode, known: Record<string, Key>): boolean {
  const [pair] = node.pairs;
  if (!pair || node.pairs.length > 1 || Object.hasOwn(known, pair.key.text)) return false;
  // Points carry capitals, digits, dots or spaces; keys never do.
  return /[^a-z-]/.test(pair.key.text) || nearest(pair.key.text, Object.keys(known)) === undefined;
}

function readShort(type: RecordType, pair: Pair, to: Complaints, read: Reader): Entry<unknown> {
  const other: Type = type.other!;
  const { value: node, key, span } = pair;
  const plain = node?.kind === 'scalar' && other.kind === 'quantity' && !node.misread && node.text !== '~';
  const value = plain ? readQuantity(other, node, to, false) : read(other, node, behind(pair), to);
  return { key: { text: key.text, span: key.span }, value, span };
}

function unknownKey(type: RecordType, node: MapNode, { key, bare }: Pair, to: Complaints): void {
  if (key.misread || (bare && !node.flow)) return;
  const known: Record<string, Key> = type.keys;
  const written = clip(key.text);
  const colon = key.text.indexOf(':');
  if (bare && colon > 0 && Object.hasOwn(known, key.text.slice(0, colon))) {
    const at = key.span.start + colon + 1;
    const fix = {
      title: 'Put a space behind the colon',
      edits: [{ span: { start: at, end: at }, text: ' ' }],
      safe: true,
    };
    to.about(key, 'syntax', 'A key is followed by a colon and a space.', [fix]);
    return;
  }
  if (type.other && /[^a-z-]/.test(key.text)) {
    to.about(
      key,
      'unknown-key',
      `\`${written}: …\` is a form that stands alone; beside other keys write \`at: ${written}\`.`,
    );
    return;
  }
  const near = meant(key.text, Object.keys(known));
  const guess = near ? `Did you mean \`${near}\`?` : `Keys here: ${listKeys(known)}.`;
  const safe = near && fold(near) === fold(key.text) && !node.pairs.some((pair) => pair.key.text === near);
  to.about(
    key,
    'unknown-key',
    `\`${written}\` is not a key here. ${guess}`,
    near ? to.replace(key, near, undefined, safe === true) : [],
  );
}

/** A word that is becoming a key: another key starts with it. */
const startsKey = (name: string, known: Record<string, Key>, node: MapNode): boolean =>
  name.length > 1 &&
  Object.keys(known).some((key) => key.startsWith(name) && !node.pairs.some((pair) => pair.key.text === key));

const takesScalar = (type: Type): boolean =>
  type.kind === 'either' ? type.scalar !== undefined : !['list', 'record', 'entries'].includes(type.kind);

/**
 * The pairs of a map, with texts put together again that a comma inside braces has cut: `{note: fits left, right}`. What follows the comma is
 * then a key without a colon, and no key of this map, half-typed or not.
 */
function commaCuts(node: MapNode, isKey: (name: string) => boolean, to: Complaints): readonly Pair[] {
  if (!node.flow || node.repeat || !node.pairs.some((pair) => pair.bare)) return node.pairs;
  const pairs: Pair[] = [];
  for (let i = 0; i < node.pairs.length; i++) {
    const pair = node.pairs[i]!;
    const { value } = pair;
    let last: Node | undefined;
    while (value?.kind === 'scalar' && !value.quoted && !value.misread && isCut(node.pairs[i + 1], isKey)) {
      last = node.pairs[++i]!.key;
    }
    pairs.push(last ? { ...pair, value: cutText(value!.span.start, last.span.end, to) } : pair);
  }
  return pairs;
}

const isCut = (pair: Pair | undefined, isKey: (name: string) => boolean): boolean =>
  pair?.bare === true && !pair.key.text.includes(':') && !isKey(pair.key.text);

function cutText(start: number, end: number, to: Complaints): ScalarNode {
  const span = { start, end };
  const misread: Misread = { span, text: to.slice(span).replace(/\s*[\r\n]\s*/g, ' '), kind: 'comma' };
  to.add(misreadProblem(misread));
  return { kind: 'scalar', text: misread.text, quoted: false, span, misread: true };
}
