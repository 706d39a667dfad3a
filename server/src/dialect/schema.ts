import { allDimensions, dimensions } from '../quantity/dimension';
import { boardFile } from './board-file';
import { describeType } from './describe';
import { pinoutFile } from './pinout-file';
import type { Keys, Type } from './type';
import { names } from './words';

/** A JSON Schema, as plain data. */
export type Schema = { readonly [name: string]: unknown };

/**
 * The table of a file kind as a JSON Schema (draft 2020-12), for editors that know YAML and not the dialect: keys, shapes and closed lists of
 * words. It says nothing about what quantities and references mean, and takes every scalar as YAML may type it.
 */
export function schemaOf(kind: 'board' | 'pinout'): Schema {
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: kind === 'board' ? 'A board on the bench' : "A chip's pinout",
    ...schema(kind === 'board' ? boardFile : pinoutFile),
  };
}

const scalar: Schema = { type: ['string', 'number', 'boolean'] };
const word: Schema = { type: ['string', 'number'] };
/** A key with nothing behind it yet is no fault of shape. */
const orNothing = (schema: Schema): Schema => ({ anyOf: [schema, { type: 'null' }] });

function schema(type: Type): Schema {
  switch (type.kind) {
    case 'text':
      return scalar;
    case 'flag':
      return { enum: [true, false, 'yes', 'no', 'on', 'off', 'true', 'false'] };
    case 'number':
      return {
        anyOf: [{ type: 'number' }, { type: 'string', pattern: '^[+-]?(\\d+(\\.\\d*)?|\\.\\d+)([eE][+-]?\\d{1,3})?$' }],
      };
    case 'choice':
      return type.open ? { ...scalar, examples: names(type.choices) } : { enum: names(type.choices) };
    case 'quantity':
      return {
        ...word,
        description: `${describeType(type)}.`,
        examples: allDimensions.filter((one) => type.dimensions.includes(one)).map((one) => dimensions[one].example),
      };
    case 'range':
      return { anyOf: [word, { type: 'array', items: word, minItems: 2, maxItems: 2 }] };
    case 'words':
      return { anyOf: [word, { type: 'array', items: word }] };
    case 'list':
      return { type: 'array', items: schema(type.of) };
    case 'entries':
      return entries(type);
    case 'record': {
      const { keys, required } = properties(type.keys);
      const own = {
        type: 'object',
        properties: keys,
        ...(required.length > 0 && { required }),
        additionalProperties: false,
      };
      if (!type.other) return own;
      const short = {
        type: 'object',
        minProperties: 1,
        maxProperties: 1,
        additionalProperties: schema(type.other),
        not: { anyOf: Object.keys(keys).map((name) => ({ required: [name] })) },
      };
      return { anyOf: [own, short] };
    }
    case 'either': {
      const forms = [type.scalar, type.list, type.map].filter((form): form is Type => form !== undefined).map(schema);
      return forms.length === 1 ? forms[0]! : { anyOf: forms };
    }
  }
}

function entries(type: Extract<Type, { kind: 'entries' }>): Schema {
  const byKey = Object.fromEntries(Object.entries(type.byKey ?? {}).map(([name, of]) => [name, schema(of as Type)]));
  if (type.keyChoices) {
    const known = type.keyChoices.map(({ name, doc }): [string, Schema] => [
      name,
      { description: doc, ...orNothing(byKey[name] ?? schema(type.of)) },
    ]);
    return { type: 'object', properties: Object.fromEntries(known), additionalProperties: false };
  }
  return { type: 'object', additionalProperties: orNothing(schema(type.of)) };
}

function properties(table: Keys): { keys: Record<string, Schema>; required: string[] } {
  const keys: Record<string, Schema> = {};
  const required: string[] = [];
  for (const [name, { type, doc, example, required: must }] of Object.entries(table)) {
    keys[name] = { description: `${doc}\n\n${example}`, ...orNothing(schema(type)) };
    if (must) required.push(name);
  }
  return { keys, required };
}
