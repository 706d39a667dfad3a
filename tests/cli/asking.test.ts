import { expect, test } from 'vitest';
import { buzzout } from '../harness/cli';

const root = __dirname;

test('a slip in a verb is told what was likely meant', async () => {
  const { status, out, err } = await buzzout(root, ['chekc', 'x']);
  expect(status).toBe(2);
  expect(out).toBe('');
  expect(err).toContain('there is no verb chekc; did you mean check?');
  expect(err).toContain('  identify ');
});

test('a file that is not there is the only thing said', async () => {
  const { status, out, err } = await buzzout(root, ['check', 'no-such.board.yaml']);
  expect([status, out]).toEqual([2, '']);
  expect(err).toBe('buzzout: there is no file or folder no-such.board.yaml\n');
});

test('a page is found by a slip of its name, or by a word that stands in it', async () => {
  expect((await buzzout(root, ['explain', 'channel-antiphase'])).err).toContain('did you mean channels-antiphase?');
  const { status, out, err } = await buzzout(root, ['explain', 'rectifier']);
  expect([status, out]).toEqual([2, '']);
  expect(err).toMatch(/there is no page rectifier; these speak of it: .*hum-present/);
  expect((await buzzout(root, ['explain', 'xyzzy'])).err).toBe('buzzout: there is no page xyzzy\n');
});

test('a schema of either file kind can be had, and of no other', async () => {
  for (const kind of ['board', 'pinout']) {
    const { status, out } = await buzzout(root, ['explain', '--schema', kind]);
    expect(status).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ type: 'object', required: [kind], additionalProperties: false });
  }
  expect((await buzzout(root, ['explain', '--schema', 'net'])).err).toContain(
    '--schema is one of board, pinout, not net',
  );
  expect((await buzzout(root, ['explain', '--schema', 'board', 'net'])).status).toBe(2);
});
