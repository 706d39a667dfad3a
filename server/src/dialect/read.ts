import type { Span } from '../text/span';
import type { Complaints } from './complain';
import { describeType, shape } from './describe';
import type { ListNode, Node, ScalarNode } from './node';
import { readEntries, readRecord } from './read-map';
import {
  hasUnit,
  isEmpty,
  readChoice,
  readFlag,
  readNumber,
  readQuantity,
  readRange,
  readText,
  readWords,
} from './read-scalar';
import type { At, EitherType, Key, ListType, Read, Type } from './type';

/** The key a value stands at, for messages. */
export interface About {
  readonly name: string;
  readonly key: Key;
}

/**
 * Reads a node as a type of the table says. Never throws: what cannot be read is a problem and comes out with no `value`; what is not there
 * yet (`node` null, at the place `span`) comes out so without a problem.
 */
export function read<T extends Type>(type: T, node: Node | null, span: Span, to: Complaints, about?: About): Read<T> {
  return readAny(type, node, span, to, about) as Read<T>;
}

function readAny(type: Type, node: Node | null, span: Span, to: Complaints, about?: About): unknown {
  if (type.kind === 'either') return readEither(type, node, span, to, about);
  if (node === null) return { span, text: '', value: undefined };
  const nothing = { span: node.span, text: node.kind === 'scalar' ? node.text : '', value: undefined };
  if (node.kind === 'scalar' && ((isEmpty(node) && type.kind !== 'text') || (node.misread && type.kind !== 'text'))) {
    return nothing;
  }
  switch (type.kind) {
    case 'words':
      if (node.kind !== 'map') return readWords(type, node, to);
      break;
    case 'range':
      if (node.kind !== 'map') return readRange(type, node, to);
      break;
    case 'list':
      if (node.kind === 'list') return readList(type, node, to);
      return wrongList(type, node, to, about);
    case 'record':
      if (node.kind === 'map') return readRecord(type, node, to, read);
      break;
    case 'entries':
      if (node.kind === 'map') return readEntries(type, node, to, read);
      break;
    default:
      if (node.kind === 'scalar') return readOne(type, node, to);
  }
  const meant = asMap(type, node);
  if (meant !== undefined && node.kind === 'scalar')
    to.about(node, 'wrong-type', `A map is expected here. Did you mean \`${meant}\`?`, to.replace(node, meant));
  else to.about(node, 'wrong-type', wrongType(type, about));
  return nothing;
}

function readOne(type: Type, node: ScalarNode, to: Complaints): unknown {
  switch (type.kind) {
    case 'text':
      return readText(type, node, to);
    case 'flag':
      return readFlag(node, to);
    case 'number':
      return readNumber(node, to);
    case 'choice':
      return readChoice(type, node, to);
    case 'quantity':
      return readQuantity(type, node, to);
    default:
      return undefined;
  }
}

function readList(type: ListType, node: ListNode, to: Complaints): At<unknown> {
  const value: unknown[] = [];
  for (const item of node.items) if (item) value.push(read(type.of, item, item.span, to));
  return { span: node.span, text: '', value };
}

function readEither(type: EitherType, node: Node | null, span: Span, to: Complaints, about?: About): unknown {
  if (node === null) return { span };
  const form = type[node.kind];
  if (form) return { span: node.span, [node.kind]: readAny(form, node, node.span, to, about) };
  if (node.kind === 'scalar' && (isEmpty(node) || node.misread)) return { span: node.span };
  to.about(node, 'wrong-type', wrongType(type, about));
  return { span: node.span };
}

const wrongType = (type: Type, about: About | undefined): string =>
  about
    ? `\`${about.name}\` takes ${shape(type)}, such as \`${about.key.example}\`.`
    : `Expected here: ${describeType(type)}.`;

/** A list is wanted and something else stands there: one value can be wrapped, and keys on lines of their own want dashes. */
function wrongList(type: ListType, node: Node, to: Complaints, about: About | undefined): At<unknown> {
  if (node.kind === 'scalar') {
    const source = to.slice(node.span);
    const text = /[\n\r]/.test(source) ? undefined : `[${source}]`;
    const plain = node.quoted || !/[[\]{}]/.test(source);
    const fix = text && plain ? to.replace(node, text, `Make it a list: \`${text}\``, true) : [];
    to.about(node, 'wrong-type', wrongType(type, about), fix);
    return { span: node.span, text: node.text, value: undefined };
  }
  if (node.kind !== 'map') return { span: node.span, text: '', value: undefined };
  const oneLine = node.pairs.every((pair) => !/[\n\r]/.test(to.slice(pair.span)));
  const edits = node.pairs.map((pair) => ({ span: { start: pair.span.start, end: pair.span.start }, text: '- ' }));
  const dashes = [{ title: 'Make each line an entry of a list', edits, safe: false }];
  to.about(node, 'wrong-type', wrongType(type, about), !node.flow && oneLine ? dashes : []);
  return { span: node.span, text: '', value: undefined };
}

/** A word or a figure that stands for a whole map, with the key it is a value of before it, or with the colon that is missing. */
function asMap(type: Type, node: Node): string | undefined {
  if (type.kind !== 'record' || node.kind !== 'scalar' || node.quoted) return undefined;
  if (type.other) return withColon(type.other, node.text);
  const fits = Object.entries(type.keys as Record<string, Key>).filter(([, { type: inner }]) =>
    inner.kind === 'choice'
      ? !inner.open && inner.choices.some((choice) => choice.name === node.text)
      : (inner.kind === 'quantity' || inner.kind === 'range') && hasUnit(inner, node.text),
  );
  return fits.length === 1 ? `{${fits[0]![0]}: ${node.text}}` : undefined;
}

/** "U1.14 3.28 V" with the colon of the short form: `U1.14: 3.28 V`. */
function withColon(other: Type, text: string): string | undefined {
  if (other.kind !== 'quantity') return undefined;
  for (const space of text.matchAll(/\s+/g)) {
    const [points, value] = [text.slice(0, space.index), text.slice(space.index + space[0].length)];
    if (hasUnit(other, value)) return `${points}: ${value}`;
  }
  return undefined;
}
