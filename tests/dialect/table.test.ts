import { describe, expect, test } from 'vitest';
import { boardFile } from '../../server/src/dialect/board-file';
import { Complaints } from '../../server/src/dialect/complain';
import { describeType, shape } from '../../server/src/dialect/describe';
import { pinoutFile } from '../../server/src/dialect/pinout-file';
import { read } from '../../server/src/dialect/read';
import { parseTree } from '../../server/src/dialect/tree';
import { type Key, type Keys, record, type Type } from '../../server/src/dialect/type';

/** Every key of the table with the keys it stands under. */
function* keysOf(type: Type, path: string): Generator<[path: string, key: Key]> {
  if (type.kind === 'either') {
    for (const form of [type.scalar, type.list, type.map]) if (form) yield* keysOf(form, path);
  } else if (type.kind === 'list' || type.kind === 'entries') yield* keysOf(type.of, `${path}[]`);
  else if (type.kind === 'record') {
    for (const [name, key] of Object.entries(type.keys as Keys)) {
      yield [`${path}.${name}`, key];
      yield* keysOf(key.type, `${path}.${name}`);
    }
  }
}

describe.each([
  ['board', boardFile],
  ['pinout', pinoutFile],
])('the table of the %s file', (name, type) => {
  test.each([...keysOf(type, name)])('%s: its example reads without a problem', (path, key) => {
    const name = path.split('.').at(-1)!;
    const tree = parseTree(key.example);
    const to = new Complaints(key.example, tree.broken);
    const keys = { [name]: { ...key, required: false } };
    const { value } = read(record(keys), tree.root, { start: 0, end: 0 }, to);
    expect([...tree.problems, ...to.problems()]).toEqual([]);
    const entry = value![name] as { value?: unknown; scalar?: unknown; list?: unknown; map?: unknown };
    expect(entry.value ?? entry.scalar ?? entry.list ?? entry.map).toBeDefined();
  });

  test.each([...keysOf(type, name)])('%s: documented, and its type in words', (_path, key) => {
    expect(key.doc).toMatch(/^[^\s].*\.$/);
    expect(describeType(key.type)).toMatch(/\w/);
    expect(shape(key.type)).toMatch(/\w/);
  });
});
