import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Typing, typedAt } from '../../server/src/lsp/typing';
import { Client } from '../harness/lsp';

describe('where an edit leaves the cursor', () => {
  test.each([
    ['- U1', '- U1.', 5],
    ['- U1.M', '- U1.MI', 7],
    ['- U1.MODE R7.1', '- U1.MOD R7.1', 8],
    ['- U1. X', '- U1.AOUTL X', 10],
    ['aa', 'aaa', 3],
    ['- U1', '- U1', undefined],
    ['- U1', '- U1\n- U2', undefined],
    ['', 'x'.repeat(41), undefined],
  ])('%j becomes %j: %s', (before, after, offset) => {
    expect(typedAt(before, after)).toBe(offset);
  });

  test('always behind what is the same before it, and before what is the same behind', () => {
    fc.assert(
      fc.property(fc.string(), fc.string({ maxLength: 9 }), fc.string(), (head, put, tail) => {
        const after = head + put + tail;
        const at = typedAt(head + tail, after);
        if (at !== undefined) expect(after.slice(at)).toBe((head + tail).slice(at - put.length));
      }),
    );
  });
});

test('a word is kept back while it is typed, in its version alone; left alone, its file is looked at again', async () => {
  const waits: (() => void)[] = [];
  const again: string[] = [];
  const typing = new Typing(
    () => new Promise((resolve) => waits.push(resolve)),
    (uri) => again.push(uri),
  );
  const word = { start: 2, end: 4 };
  const quiet = async () => {
    for (const wait of waits.splice(0)) wait();
    await Promise.resolve();
  };
  typing.changed('a', '- U', 1);
  expect(typing.hides({ uri: 'a', version: 1 }, word)).toBe(false);
  typing.changed('a', '- U1', 2);
  expect(typing.hides({ uri: 'a', version: 2 }, word)).toBe(true);
  expect(typing.hides({ uri: 'a', version: 2 }, { start: 0, end: 3 })).toBe(false);
  expect(typing.hides({ uri: 'a', version: 1 }, word)).toBe(false);
  expect(typing.hides({ uri: 'b', version: 2 }, word)).toBe(false);
  await quiet();
  expect(again).toEqual(['a']);
  expect(typing.hides({ uri: 'a', version: 2 }, word)).toBe(false);
  // Where nothing was kept back there is nothing to look at again.
  typing.changed('a', '- U12', 3);
  await quiet();
  expect(again).toEqual(['a']);
  typing.changed('a', '- U1', 4);
  typing.left('a');
  expect(typing.hides({ uri: 'a', version: 4 }, word)).toBe(false);
});

test('a name left half typed is told of by itself', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'buzzout-typing-'));
  const uri = pathToFileURL(join(folder, 'a.board.yaml')).href;
  const text = (point: string) =>
    `board: a\nparts:\n  U1: {pins: {1: VDD, 2: MODE}}\ntraces:\n  buzzed:\n    - ${point} X\n`;
  const client = await Client.start(folder);
  try {
    await client.open(uri, text('U1.MODE'));
    await client.change(uri, 2, text('U1.MO'));
    const found = await client.diagnostics(uri, (set, version) => version === 2 && set.length > 0);
    expect(found.map(({ code }) => code)).toEqual(['unknown-reference']);
  } finally {
    await client.stop();
    rmSync(folder, { recursive: true, force: true });
  }
});
