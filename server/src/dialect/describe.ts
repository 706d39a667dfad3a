import { expected } from '../quantity/dimension';
import type { Choice, Keys, Names, RecordType, Type } from './type';

/** Types in words, for messages, hovers and the reference. */

const nouns: Readonly<Record<Names, [string, string]>> = {
  point: ['a point, such as `U1.14` or a net', 'points'],
  net: ['a net', 'nets'],
  part: ['a part, such as `R4`', 'parts'],
  pin: ['a pin, by number or name', 'pins, by number or name'],
  'pin-name': ['a pin name', 'pin names'],
  contact: ['a contact', 'contacts'],
  pinout: ['the name of a pinout file', 'names of pinouts'],
  mode: ['an output mode of the pinout', 'output modes'],
  state: ['a rework, or `as-found`', 'reworks'],
  check: ['a check', 'checks'],
  capture: ['a capture', 'captures'],
  'capture-file': ['a path to a WAV or CSV file', 'paths to WAV or CSV files'],
  'pinout-file': ['a path or glob of pinout files', 'paths of pinout files'],
  channel: ['a channel', 'channels'],
  cause: ['a cause', 'causes'],
};

/** Words as a message lists them: "`left`, `right` or `mono`". */
export function oneOf(choices: readonly Choice[]): string {
  const names = choices.map((choice) => `\`${choice.name}\``);
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`;
}

/** What may be written instead, for a message: all of it where that is short enough to read. */
export const instead = (choices: readonly Choice[]): string =>
  choices.length > 32 ? 'The reference lists what is.' : `It can be ${oneOf(choices)}.`;

/** The keys of a map, for a message. */
export const listKeys = (keys: Keys): string =>
  Object.keys(keys)
    .map((name) => `\`${name}\``)
    .join(', ');

/** How to name what would be too long to list. */
export interface Naming {
  readonly map?: (type: RecordType) => string;
  /** Undefined: the words are listed after all. */
  readonly words?: (choices: readonly Choice[]) => string | undefined;
}

/** What may stand where this type is wanted, as a phrase without a full stop: "a list, each entry `mains` or `laser`". */
export function describeType(type: Type, naming: Naming = {}): string {
  const words = (choices: readonly Choice[]) => naming.words?.(choices) ?? oneOf(choices);
  switch (type.kind) {
    case 'text':
      if (type.words) return `text, or ${oneOf(type.words)}`;
      return type.names ? nouns[type.names][0] : 'text';
    case 'flag':
      return '`yes` or `no`';
    case 'number':
      return 'a number';
    case 'choice':
      return type.open ? `text, such as ${words(type.choices)}` : words(type.choices);
    case 'quantity':
      return `${expected(type.dimensions)}${type.over ? '; `OL` is over range' : ''}`;
    case 'range':
      return `${expected(type.dimensions)}, or a list of the least and the most`;
    case 'words':
      return `${nouns[type.names][1]}, in a list or on one line`;
    case 'list':
      return `a list, each entry ${describeType(type.of, naming)}`;
    case 'record':
      return `${naming.map?.(type) ?? `a map with the keys ${listKeys(type.keys)}`}${type.other ? `, or one entry: ${nouns[type.otherNames!][0]} and its value` : ''}`;
    case 'entries':
      return `a map from ${type.keyDoc} to ${describeType(type.of, naming)}`;
    case 'either': {
      const forms = [type.scalar, type.list, type.map]
        .filter((form) => form !== undefined)
        .map((form) => describeType(form, naming));
      return [...new Set(forms)].join('; or ');
    }
  }
}

/** The shape alone, for a message that has an example beside it: "a list", "a map", "text". */
export function shape(type: Type): string {
  switch (type.kind) {
    case 'list':
      return 'a list';
    case 'record':
    case 'entries':
      return 'a map';
    case 'words':
      return nouns[type.names][1];
    case 'either':
      return [...new Set([type.scalar, type.list, type.map].filter((form) => form !== undefined).map(shape))].join(
        ' or ',
      );
    default:
      return describeType(type);
  }
}
