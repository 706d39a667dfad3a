import { type Dimension, dimensions, expected } from '../quantity/dimension';
import { parseQuantity, type Quantity } from '../quantity/quantity';
import type { Span } from '../text/span';
import type { Complaints } from './complain';
import { describeType, instead } from './describe';
import { editDistance, fold, meant } from './nearest';
import type { ListNode, ScalarNode } from './node';
import type {
  At,
  Choice,
  ChoiceType,
  QuantityRange,
  QuantityType,
  RangeType,
  SpelledChoice,
  TextType,
  Word,
  WordsType,
} from './type';

/** Values of one line: texts, flags, numbers, words, quantities. All from the source text, never as YAML types it. */

const at = <T>(node: ScalarNode, value: T | undefined): At<T> => ({ span: node.span, text: node.text, value });

/** A value left open: nothing, or a `~` without quotes. */
export const isEmpty = (node: ScalarNode): boolean =>
  !node.quoted && !node.misread && (node.text === '' || node.text === '~');

/** Text as written. Misread or misspelt text still says what was meant, unless it names something that would then be looked for. */
export function readText(type: TextType, node: ScalarNode, to: Complaints): At<string> {
  if (node.misread) return at(node, type.names || node.text === '' ? undefined : node.text);
  const word = type.words?.find((one) => isOther(node.text, one));
  if (!word) return at(node, node.text);
  to.about(
    node,
    'unknown-reference',
    `\`${clip(node.text)}\` is no word here: \`${word.name}\` says ${word.doc}.`,
    to.replace(node, word.name),
  );
  return at(node, word.name);
}

/** Whether a text is a word of the list in another spelling, or with one slip. */
const isOther = (text: string, { name, also }: SpelledChoice): boolean =>
  text !== name && (also.includes(fold(text)) || editDistance(fold(text), name, 1) <= 1);

const yes = new Set(['true', 'yes', 'on']);
const no = new Set(['false', 'no', 'off']);

/** `yes`, `no` and their other spellings, case ignored. */
export function readFlag(node: ScalarNode, to: Complaints): At<boolean> {
  const word = node.text.toLowerCase();
  if (yes.has(word)) return at(node, true);
  if (no.has(word)) return at(node, false);
  const near = meant(word, [...yes, ...no]);
  to.about(node, 'wrong-type', `\`${clip(node.text)}\` is neither yes nor no.`, near ? to.replace(node, near) : []);
  return at<boolean>(node, undefined);
}

/** A plain number, with a decimal point and perhaps an exponent. */
export function readNumber(node: ScalarNode, to: Complaints): At<number> {
  if (/^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d{1,3})?$/i.test(node.text)) {
    const value = Number(node.text);
    if (Number.isFinite(value)) return at(node, value);
  }
  to.about(node, 'wrong-type', `\`${clip(node.text)}\` is not a number, such as \`0.5\` or \`16\`.`);
  return at<number>(node, undefined);
}

/** A word of a list; of an open one any text. */
export function readChoice(type: ChoiceType, node: ScalarNode, to: Complaints): At<string> {
  if (type.open || type.choices.some((choice) => choice.name === node.text)) return at(node, node.text);
  outside(node.text, node.span, type.choices, to, node.repeat === true);
  return at<string>(node, undefined);
}

/** Reports a word that is not in its list. One that differs in case or separators alone is mended without a look. */
function outside(text: string, span: Span, choices: readonly Choice[], to: Complaints, repeat: boolean): void {
  const near = meant(
    text,
    choices.map((choice) => choice.name),
  );
  const guess = near ? `Did you mean \`${near}\`?` : instead(choices);
  const fixes = near && !repeat && [{ title: `Write \`${near}\``, edits: [{ span, text: near }], safe: false }];
  to.add({
    check: 'unknown-reference',
    span,
    message: `\`${clip(text)}\` is not known here. ${guess}`,
    ...(fixes && { fixes }),
  });
}

/** What a meter shows when a value is beyond its range. */
const overRange = /^(?:OL|O\.L|0L|0\.L|\.OL|over)$/i;

/** A quantity; in a short form (`bare` false) only its unit says what was measured, so there must be one. */
export function readQuantity(type: QuantityType, node: ScalarNode, to: Complaints, bare = true): At<Quantity> {
  if (type.over && overRange.test(node.text)) {
    const dimension: Dimension = type.dimensions.includes('resistance') ? 'resistance' : type.dimensions[0]!;
    const quantity = { value: Number.POSITIVE_INFINITY, dimension, unit: dimensions[dimension].base, text: node.text };
    return at<Quantity>(node, quantity);
  }
  const amplitude = type.amplitude && { amplitude: type.amplitude };
  const { quantity, problem } = parseQuantity(node.text, type.dimensions, { bare, ...amplitude });
  if (problem && !type.byKind) {
    const { suggestion } = problem;
    to.about(node, problem.check, `${problem.message}.`, suggestion ? to.replace(node, suggestion) : []);
  }
  return at(node, quantity);
}

/** Whether a text is a quantity of the type that says its own unit. */
export const hasUnit = ({ dimensions: wanted }: QuantityType | RangeType, text: string): boolean =>
  parseQuantity(text, wanted, { bare: false }).problem === undefined;

/** Ways a range is written elsewhere: 3.0–3.6 V, 3 V .. 3.6 V, 3 to 3.6 V. */
const dashed = /^([+-]?[\d.,]+\s*[^\d\s.,–-]*)\s*(?:\.{2,3}|…|–|-|\bto\b)\s*([+-]?[\d.,]+\s*([^\d\s.,–-]*))$/;

/** The two ends of a range written on one line, as a list; undefined where it is none. */
function asList(text: string, type: QuantityType): string | undefined {
  const [, from, to, unit] = dashed.exec(text) ?? [];
  if (from === undefined || to === undefined) return undefined;
  const least = /\d\s*$/.test(from) && unit ? `${from.trim()} ${unit}` : from.trim();
  const fits = [least, to].every((end) => parseQuantity(end, type.dimensions, { bare: true }).problem === undefined);
  return fits ? `[${least}, ${to}]` : undefined;
}

/** One quantity, or the least and the most in a list. */
export function readRange(type: RangeType, node: ScalarNode | ListNode, to: Complaints): At<QuantityRange> {
  const one: QuantityType = { kind: 'quantity', dimensions: type.dimensions, over: false };
  if (node.kind === 'scalar') {
    const list = node.quoted ? undefined : asList(node.text, one);
    if (list !== undefined) {
      to.about(
        node,
        'bad-quantity',
        `The least and the most are written as a list: \`${list}\`.`,
        to.replace(node, list),
      );
      return at<QuantityRange>(node, undefined);
    }
    const { value } = readQuantity(one, node, to);
    return at(node, value && { min: value, max: value, ends: false });
  }
  const result = (value?: QuantityRange): At<QuantityRange> => ({ span: node.span, text: '', value });
  const ends = node.items.filter((item) => item !== null);
  const scalars = ends.filter((item): item is ScalarNode => item.kind === 'scalar');
  if (scalars.length < ends.length || ends.length > 2) {
    to.about(node, 'wrong-type', `The least and the most are two values: ${expected(type.dimensions)}.`);
    return result();
  }
  const [min, max] = scalars.map((item) =>
    isEmpty(item) || item.misread ? undefined : readQuantity(one, item, to).value,
  );
  // One end alone is half-typed.
  if (!min || !max) return result();
  if (min.value > max.value) {
    const swapped = `[${max.text}, ${min.text}]`;
    const fixes = node.flow ? to.replace(node, swapped) : [];
    to.about(node, 'bad-quantity', `The least comes first: ${min.text} is more than ${max.text}.`, fixes);
    return result();
  }
  return result({ min, max, ends: true });
}

/** Words in a list, or on one line split at spaces and commas. */
export function readWords(type: WordsType, node: ScalarNode | ListNode, to: Complaints): At<readonly Word[]> {
  const words: Word[] = [];
  if (node.kind === 'scalar') words.push(...split(node, to.text));
  else {
    for (const item of node.items) {
      if (item === null) continue;
      if (item.kind !== 'scalar') to.about(item, 'wrong-type', `Expected here: ${describeType(type)}.`);
      else if (item.misread) continue;
      else if (item.quoted) words.push({ text: item.text, span: item.span });
      else words.push(...split(item, to.text));
    }
  }
  return { span: node.span, text: node.kind === 'scalar' ? node.text : '', value: words };
}

/** The words of a scalar, each with its own place where the source shows it as it is. */
function split(node: ScalarNode, text: string): Word[] {
  const source = text.slice(node.span.start, node.span.end);
  const inner = node.quoted ? source.slice(1, -1) : source;
  const asWritten = !node.repeat && (!node.quoted || inner === node.text);
  const from = asWritten ? node.span.start + (node.quoted ? 1 : 0) : 0;
  return [...(asWritten ? inner : node.text).matchAll(/[^\s,]+/g)].map((match) => ({
    text: match[0],
    span: asWritten ? { start: from + match.index, end: from + match.index + match[0].length } : node.span,
  }));
}

/** Long text shortened for a message. */
export const clip = (text: string): string => (text.length > 40 ? `${text.slice(0, 39)}…` : text);
