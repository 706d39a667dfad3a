import type { EntriesType, Key, Keys, RecordType, Type } from './type';

/** Steps through the table: from a type to that of what stands inside it. */

/** Keys and list indices from the root of a file. */
export type Path = readonly (string | number)[];

/** What a scalar there is read as; undefined where none belongs. */
export function scalarForm(type: Type | undefined): Type | undefined {
  if (type?.kind === 'either') return scalarForm(type.scalar);
  return type?.kind === 'list' || type?.kind === 'record' || type?.kind === 'entries' ? undefined : type;
}

/** What a map there is read as; undefined where none belongs. */
export function mapForm(type: Type | undefined): RecordType | EntriesType | undefined {
  if (type?.kind === 'either') return mapForm(type.map);
  return type?.kind === 'record' || type?.kind === 'entries' ? type : undefined;
}

/** What a list there is read as; undefined where none belongs. */
export function listForm(type: Type | undefined): Type | undefined {
  if (type?.kind === 'either') return listForm(type.list);
  return type?.kind === 'list' || type?.kind === 'words' || type?.kind === 'range' ? type : undefined;
}

/** What an entry of a list there is read as. */
export function itemOf(type: Type | undefined): Type | undefined {
  const list = listForm(type);
  if (list?.kind === 'list') return list.of;
  return list?.kind === 'range' ? { kind: 'quantity', dimensions: list.dimensions, over: false } : list;
}

/** The key of the table that `name` is in a map of this type. */
export function keyAt(type: Type | undefined, name: string): Key | undefined {
  const map = mapForm(type);
  if (map?.kind !== 'record') return undefined;
  const keys: Keys = map.keys;
  return Object.hasOwn(keys, name) ? keys[name] : undefined;
}

/** What the value of key `name` in a map of this type is read as. */
export function valueAt(type: Type | undefined, name: string): Type | undefined {
  const map = mapForm(type);
  if (map?.kind === 'entries') return map.byKey && Object.hasOwn(map.byKey, name) ? map.byKey[name] : map.of;
  return keyAt(map, name)?.type ?? map?.other;
}
