import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { boardFile } from '../../server/src/dialect/board-file';
import { contextAt } from '../../server/src/dialect/context';
import { pinoutFile } from '../../server/src/dialect/pinout-file';
import { anyText } from './any-text';
import { marked } from './marker';

/** What is wanted at `$0` in short: `keys:` a map's first key, `value:` a kind, the path, and what a completion replaces. */
function at(text: string, type: Parameters<typeof contextAt>[0] = boardFile) {
  const { text: plain, offset } = marked(text);
  const found = contextAt(type, plain, offset);
  if (!found) return undefined;
  const { keys, value } = found;
  const what = [
    ...(keys ? [keys.kind === 'record' ? `key ${Object.keys(keys.keys)[0]}…` : `key ${keys.keyNames}`] : []),
    ...(value
      ? [value.kind === 'words' || value.kind === 'text' ? `${value.kind} ${value.names ?? ''}`.trim() : value.kind]
      : []),
  ];
  return {
    what: what.join(' or '),
    path: found.path.join('/'),
    prefix: found.prefix,
    replaces: plain.slice(found.span.start, found.span.end),
    ...(found.used.length > 0 && { used: found.used.join(' ') }),
    ...(found.lead && { lead: found.lead }),
    ...(found.flow && { flow: true }),
    ...(found.quote && { quote: found.quote }),
    ...(found.colon && { colon: true }),
  };
}

describe('keys', () => {
  test('in an empty file, and on a new line at the margin', () => {
    expect(at('$0')).toEqual({ what: 'key board…', path: '', prefix: '', replaces: '' });
    expect(at('board: x\n$0\nnets:\n')).toMatchObject({ what: 'key board…', path: '', used: 'board nets' });
    expect(at('boa$0')).toMatchObject({ what: 'key board…', prefix: 'boa', replaces: 'boa' });
    expect(at('board: x\npa$0\nnets:\n')).toMatchObject({ what: 'key board…', prefix: 'pa', used: 'board nets' });
  });

  test('of a part, in braces that are not closed', () => {
    expect(at('parts:\n  U1: {pin$0')).toEqual({
      what: 'key value…',
      path: 'parts/U1',
      prefix: 'pin',
      replaces: 'pin',
      flow: true,
    });
    expect(at('parts:\n  U1: {pinout: x, $0\n  R4: 470\n')).toMatchObject({
      path: 'parts/U1',
      prefix: '',
      used: 'pinout',
    });
    expect(at('parts:\n  U1: {$0, mode: stereo}\n')).toMatchObject({ path: 'parts/U1', used: 'mode' });
    expect(at('parts:\n  U1: {mo$0de: stereo}\n')).toMatchObject({ prefix: 'mo', replaces: 'mode', colon: true });
  });

  test('of a part on lines of their own', () => {
    expect(at('parts:\n  U1:\n    pinout: x\n    ma$0\n    mode: y\n')).toMatchObject({
      what: 'key value…',
      path: 'parts/U1',
      prefix: 'ma',
      used: 'pinout mode',
    });
    expect(at('parts:\n  U1:\n    $0')).toMatchObject({ what: 'key value…', path: 'parts/U1' });
    expect(at('parts:\n  U1:\n    $0\n    mode: y\n')).toMatchObject({ path: 'parts/U1', used: 'mode' });
    expect(at('parts:\n  U1:\n    pi$0')).toMatchObject({ what: 'key value… or text', path: 'parts/U1', prefix: 'pi' });
    expect(at('parts:\n  U1: {a: b}\n  $0\n')).toMatchObject({ what: 'key part', path: 'parts', used: 'U1' });
  });

  test('of a reading, or the points of its short form', () => {
    expect(at('readings:\n  - $0')).toMatchObject({ what: 'key at…', path: 'readings/0', prefix: '' });
    expect(at('readings:\n  - VSYS: 3 V\n  - U1.2 J2.sl$0')).toMatchObject({
      what: 'key at…',
      path: 'readings/1',
      prefix: 'J2.sl',
      replaces: 'J2.sl',
    });
    expect(at('readings:\n  - at: VSYS\n    $0\n')).toMatchObject({ what: 'key at…', path: 'readings/0', used: 'at' });
    expect(at('readings:\n  - VSYS: 3 V\n  $0\n')).toMatchObject({ path: 'readings/1', lead: '- ' });
    expect(at('readings:\n  $0')).toMatchObject({ what: 'key at…', path: 'readings/0', lead: '- ' });
    expect(at('readings:\n- VSYS: 3 V\n- $0\nnets:\n')).toMatchObject({ what: 'key at…', path: 'readings/1' });
  });

  test('nets in the middle of others', () => {
    expect(at('nets:\n  $0\n  GND: {role: ground}\n')).toMatchObject({ what: 'key net', path: 'nets', used: 'GND' });
    expect(at('nets:\n  GND: {role: ground}\n  V$0\n  X: {}\n')).toMatchObject({
      what: 'key net',
      prefix: 'V',
      used: 'GND X',
    });
  });

  test('of maps in a list in brackets', () => {
    expect(at('expect: [{st$0')).toMatchObject({ what: 'key stereo…', path: 'expect/0', prefix: 'st' });
    expect(at('expect: [in-phase: [a, b], le$0')).toMatchObject({
      what: 'key stereo…',
      path: 'expect/1',
      prefix: 'le',
    });
    expect(at('expect:\n  - stereo: {left: OUT_L, ri$0}')).toMatchObject({
      what: 'key left…',
      path: 'expect/0/stereo',
      used: 'left',
    });
  });

  test('of brackets over several lines', () => {
    const text = 'captures:\n  t: {\n    file: x.wav,\n    $0\n  }\nnets:\n';
    expect(at(text)).toMatchObject({ what: 'key file…', path: 'captures/t', used: 'file', flow: true });
  });

  test('with a check under limits', () => {
    expect(at('limits: {cou$0')).toMatchObject({ what: 'key check', path: 'limits', prefix: 'cou' });
    expect(at('limits:\n  return-shared: $0')).toMatchObject({ what: 'quantity', path: 'limits/return-shared' });
  });
});

describe('values', () => {
  test('behind a key, at once or after a space', () => {
    expect(at('nets:\n  GND: {role: $0')).toMatchObject({ what: 'choice', path: 'nets/GND/role', prefix: '' });
    expect(at('nets:\n  GND: {role: gro$0und}')).toMatchObject({ prefix: 'gro', replaces: 'ground' });
    expect(at('nets:\n  GND: {role:$0}')).toMatchObject({ what: 'choice', lead: ' ' });
    expect(at('nets:\n  GND:\n    role:$0\n')).toMatchObject({ what: 'choice', lead: ' ' });
    expect(at('nets:\n  GND:\n    role: $0\n    load: 1 k')).toMatchObject({ what: 'choice', path: 'nets/GND/role' });
    expect(at('parts:\n  U1: {pinout: $0, mode: x}')).toMatchObject({
      what: 'text pinout',
      path: 'parts/U1/pinout',
      replaces: '',
    });
    expect(at('parts:\n  U1: fw$0')).toMatchObject({ what: 'text', path: 'parts/U1', prefix: 'fw' });
  });

  test('points of a join, on a line', () => {
    expect(at('traces:\n  buzzed:\n    - U1.$0')).toMatchObject({
      what: 'words point',
      path: 'traces/buzzed/0',
      prefix: 'U1.',
      replaces: 'U1.',
    });
    expect(at('traces:\n  buzzed:\n    - U1.14 C7.$0 R4.1\n')).toMatchObject({
      prefix: 'C7.',
      replaces: 'C7.',
      used: 'U1.14 R4.1',
    });
    expect(at('traces:\n  buzzed:\n    - U1.14 $0\n')).toMatchObject({ prefix: '', replaces: '', used: 'U1.14' });
    expect(at('traces:\n  buzzed:\n    - $0\n')).toMatchObject({ what: 'words point', path: 'traces/buzzed/0' });
    expect(at('traces:\n  buzzed:\n    -$0\n')).toMatchObject({ what: 'words point', lead: ' ' });
    expect(at('traces:\n  buzzed:\n    - A B\n    $0\n')).toMatchObject({ path: 'traces/buzzed/1', lead: '- ' });
    expect(at('traces:\n  apart:\n    - A B\n  buzzed:\n    $0\n')).toMatchObject({
      path: 'traces/buzzed/0',
      lead: '- ',
    });
  });

  test('points of a join, in brackets', () => {
    expect(at('traces:\n  buzzed:\n    - [U1.14, C7.$0')).toMatchObject({
      what: 'words point',
      path: 'traces/buzzed/0/1',
      prefix: 'C7.',
      used: 'U1.14',
      flow: true,
    });
    expect(at('expect:\n  - in-phase: [$0, OUT_R]\n')).toMatchObject({ what: 'words point', used: 'OUT_R' });
    expect(at('captures:\n  t: {channels: {1: $0, 2: OUT_R}}\n')).toMatchObject({
      what: 'words point',
      path: 'captures/t/channels/1',
    });
  });

  test('in quotes', () => {
    expect(at('parts:\n  U1: {pinout: "fw$0"}')).toMatchObject({
      what: 'text pinout',
      prefix: 'fw',
      replaces: 'fw',
      quote: '"',
    });
    expect(at('captures:\n  t:\n    file: "cap$0')).toMatchObject({
      what: 'text capture-file',
      prefix: 'cap',
      quote: '"',
    });
  });

  test('of a short form', () => {
    expect(at('readings:\n  - VSYS: $0')).toMatchObject({ what: 'quantity', path: 'readings/0/VSYS' });
  });

  test('of a list', () => {
    expect(at('cautions: [mains, $0]')).toMatchObject({ what: 'choice', path: 'cautions/1' });
    expect(at('cautions:\n  - mains\n  - la$0')).toMatchObject({ what: 'choice', prefix: 'la' });
    expect(at('nets:\n  V: {volts: [3 V, $0')).toMatchObject({ what: 'quantity', path: 'nets/V/volts/1' });
  });

  test('of a pinout', () => {
    expect(at('pins:\n  1: {name: A, role: $0', pinoutFile)).toMatchObject({ what: 'choice', path: 'pins/1/role' });
    expect(at('modes:\n  mono: {DACL: {le$0', pinoutFile)).toMatchObject({
      what: 'key left…',
      path: 'modes/mono/DACL',
    });
  });
});

test.each([
  'board: x # comm$0ent',
  '# $0',
  'parts:\n  U1: {pinout: x}$0',
  'parts:\n  U1: {pinout: x} $0',
  'board: x\n   $0y: z',
  'nonsense:\n  $0',
  'complaint: |\n  told $0\n',
  'board: x\n  $0\n',
  'parts:\n  U1: {pins: {1: A} $0',
])('nothing is wanted in %j', (text) => {
  expect(at(text)).toBeUndefined();
});

test('any offset of any text is answered, with a stretch of the text around the offset', () => {
  fc.assert(
    fc.property(anyText, fc.double({ min: 0, max: 1, noNaN: true }), (text, part) => {
      const offset = Math.floor(part * text.length);
      for (const type of [boardFile, pinoutFile]) {
        const found = contextAt(type, text, offset);
        if (!found) continue;
        const { start, end } = found.span;
        expect(0 <= start && start <= offset && offset <= end && end <= text.length).toBe(true);
        expect(found.prefix).toBe(text.slice(start, offset));
      }
    }),
    { numRuns: 3000, seed: 23 },
  );
});
