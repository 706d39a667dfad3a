import type { Dimension } from '../quantity/dimension';
import type { Quantity } from '../quantity/quantity';
import type { Amplitude } from '../quantity/unit';
import type { Span } from '../text/span';

/**
 * What the table of keys is written in: a type says what may stand at a key, and `Read` what a reader makes of it.
 * One table yields checking, completion, hover, the reference page and the exported schema.
 */

/** A value with the stretch it was written in. No `value`: something stands there that cannot be read, and a problem says why. */
export interface At<T> {
  readonly span: Span;
  /** The source of a scalar as written, quotes taken off; of a list or map, empty. */
  readonly text: string;
  readonly value: T | undefined;
}

/** One word of a list that may also be written as one line: `[U1.14, C7.+]` or `U1.14 C7.+`. */
export interface Word {
  readonly text: string;
  readonly span: Span;
}

export interface QuantityRange {
  readonly min: Quantity;
  readonly max: Quantity;
  /** Whether two ends were written: a nominal has none. */
  readonly ends: boolean;
}

export interface Entry<T> {
  readonly key: Word;
  readonly value: T;
  /** The whole entry, key to the end of its value. */
  readonly span: Span;
}

/** What a word or text names: completion and navigation go by it. */
export type Names =
  | 'point'
  | 'net'
  | 'part'
  | 'pin'
  | 'pin-name'
  | 'contact'
  | 'pinout'
  | 'mode'
  | 'state'
  | 'check'
  | 'capture'
  | 'capture-file'
  | 'pinout-file'
  | 'channel'
  | 'cause';

export interface Choice {
  readonly name: string;
  readonly doc: string;
}

/** A word that people write in other ways, none of which is it. */
export interface SpelledChoice extends Choice {
  readonly also: readonly string[];
}

interface Base<T> {
  /** Never there at run time: it carries the type of what is read. */
  readonly reads?: T;
}
export interface TextType extends Base<At<string>> {
  readonly kind: 'text';
  readonly names?: Names;
  /** Words that stand for something of their own here. */
  readonly words?: readonly SpelledChoice[];
}
export interface FlagType extends Base<At<boolean>> {
  readonly kind: 'flag';
}
export interface NumberType extends Base<At<number>> {
  readonly kind: 'number';
}
export interface ChoiceType extends Base<At<string>> {
  readonly kind: 'choice';
  readonly choices: readonly Choice[];
  /** Other texts are welcome too: the choices are what completion offers. */
  readonly open: boolean;
}
/** A quantity; `over` lets `OL` stand for over range, read as infinity. */
export interface QuantityType extends Base<At<Quantity>> {
  readonly kind: 'quantity';
  readonly dimensions: readonly Dimension[];
  readonly over: boolean;
  /** How its volts are counted, where not RMS. */
  readonly amplitude?: Amplitude;
  /** What it must be hangs on the kind of part: the board judges it, and for some kinds it is a text. */
  readonly byKind?: true;
}
/** One quantity, or two ends in a list. */
export interface RangeType extends Base<At<QuantityRange>> {
  readonly kind: 'range';
  readonly dimensions: readonly Dimension[];
}
/** Words as a YAML list, or on one line split at spaces and commas. */
export interface WordsType extends Base<At<readonly Word[]>> {
  readonly kind: 'words';
  readonly names: Names;
}
export interface ListType<T extends Type = Type> extends Base<At<readonly Read<T>[]>> {
  readonly kind: 'list';
  readonly of: T;
}
/** A map with known keys. `other`, if given, reads a map of one entry whose key is none of them: a short form. */
export interface RecordType<K extends Keys = Keys, O extends Type = Type>
  extends Base<At<RecordRead<K>> & { readonly keys: ReadonlyMap<string, Span>; readonly short?: Entry<Read<O>> }> {
  readonly kind: 'record';
  readonly keys: K;
  readonly other?: O;
  /** What names the short form's key. */
  readonly otherNames?: Names;
}
/** A map whose keys the writer names. */
export interface EntriesType<T extends Type = Type> extends Base<At<readonly Entry<Read<T>>[]>> {
  readonly kind: 'entries';
  readonly of: T;
  /** What the keys name, and in words for messages. */
  readonly keyNames: Names | 'free';
  readonly keyDoc: string;
  readonly keyChoices?: readonly Choice[];
  /** What single keys read instead of `of`. */
  readonly byKey?: Readonly<Record<string, T>>;
}
/** What may stand there depends on whether a scalar, a list or a map does. */
export interface EitherType<S extends Type = Type, L extends Type = Type, M extends Type = Type>
  extends Base<{ readonly scalar?: Read<S>; readonly list?: Read<L>; readonly map?: Read<M>; readonly span: Span }> {
  readonly kind: 'either';
  readonly scalar?: S;
  readonly list?: L;
  readonly map?: M;
}

export type Type =
  | TextType
  | FlagType
  | NumberType
  | ChoiceType
  | QuantityType
  | RangeType
  | WordsType
  // biome-ignore lint/suspicious/noExplicitAny: a table of tables is recursive in its type
  | ListType<any>
  // biome-ignore lint/suspicious/noExplicitAny: as above
  | RecordType<any, any>
  // biome-ignore lint/suspicious/noExplicitAny: as above
  | EntriesType<any>
  // biome-ignore lint/suspicious/noExplicitAny: as above
  | EitherType<any, any, any>;

/** One key of the dialect: what may stand there, what it means, how it looks. */
export interface Key<T extends Type = Type> {
  readonly type: T;
  readonly doc: string;
  readonly example: string;
  readonly required: boolean;
}
export type Keys = Readonly<Record<string, Key>>;

export type Read<T> = T extends { readonly reads?: infer R } ? Exclude<R, undefined> : never;
export type RecordRead<K extends Keys> = { readonly [N in keyof K]?: Read<K[N]['type']> };

export const text = (names?: Names): TextType => ({ kind: 'text', ...(names && { names }) });
export const textOr = (words: readonly SpelledChoice[]): TextType => ({ kind: 'text', words });
export const flag = (): FlagType => ({ kind: 'flag' });
export const number = (): NumberType => ({ kind: 'number' });
export const choice = (choices: readonly Choice[], open = false): ChoiceType => ({ kind: 'choice', choices, open });
export const quantity = (...dimensions: Dimension[]): QuantityType => ({ kind: 'quantity', dimensions, over: false });
export const meterQuantity = (...dimensions: Dimension[]): QuantityType => ({
  kind: 'quantity',
  dimensions,
  over: true,
});
/** Volts counted by their peak or from peak to peak. */
export const swing = (amplitude: Amplitude, ...dimensions: Dimension[]): QuantityType => ({
  ...quantity(...dimensions),
  amplitude,
});
export const range = (...dimensions: Dimension[]): RangeType => ({ kind: 'range', dimensions });
export const words = (names: Names): WordsType => ({ kind: 'words', names });
export const list = <T extends Type>(of: T): ListType<T> => ({ kind: 'list', of });
export const record = <K extends Keys>(keys: K): RecordType<K, never> => ({ kind: 'record', keys });
export const recordOrShort = <K extends Keys, O extends Type>(
  keys: K,
  otherNames: Names,
  other: O,
): RecordType<K, O> => ({ kind: 'record', keys, other, otherNames });
export const entries = <T extends Type>(
  keyNames: EntriesType['keyNames'],
  keyDoc: string,
  of: T,
  keyChoices?: readonly Choice[],
  byKey?: Readonly<Record<string, T>>,
): EntriesType<T> => ({
  kind: 'entries',
  of,
  keyNames,
  keyDoc,
  ...(keyChoices && { keyChoices }),
  ...(byKey && { byKey }),
});
export const either = <S extends Type = never, L extends Type = never, M extends Type = never>(forms: {
  scalar?: S;
  list?: L;
  map?: M;
}): EitherType<S, L, M> => ({ kind: 'either', ...forms });

/** The value of a part: which quantity it is, or whether it is one, its kind says. */
export const valueOfPart = (...dimensions: Dimension[]): QuantityType => ({ ...quantity(...dimensions), byKind: true });

/** A key of the table. */
export const key = <T extends Type>(type: T, doc: string, example: string): Key<T> => ({
  type,
  doc,
  example,
  required: false,
});
export const requiredKey = <T extends Type>(type: T, doc: string, example: string): Key<T> => ({
  type,
  doc,
  example,
  required: true,
});

/** Something wrong with a text, before it is known which file it is: spans are offsets in that text. */
export interface Problem {
  readonly check: string;
  readonly severity?: 'error' | 'warning' | 'info' | 'hint';
  readonly span: Span;
  readonly message: string;
  readonly related?: readonly { readonly span: Span; readonly message: string }[];
  readonly fixes?: readonly {
    readonly title: string;
    readonly edits: readonly { span: Span; text: string }[];
    readonly safe: boolean;
  }[];
}
