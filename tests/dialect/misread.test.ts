import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { quote } from '../../server/src/dialect/misread';
import { parseBoard } from '../../server/src/dialect/parse';
import { parseTree } from '../../server/src/dialect/tree';
import { findings, fixed } from './findings';

/** A text YAML would not read as written, in every place a text can stand; `%` is the text. */
const places: [name: string, text: string, inBraces: boolean][] = [
  ['a title', 'board: %\n', false],
  ['a key on its own line', 'board: x\nparts:\n  U1:\n    note: %\n    mode: y\n', false],
  ['a key behind a dash', 'board: x\nreadings:\n  - note: %\n    at: A\n', false],
  ['a list entry', 'board: x\npinouts:\n  - %\n  - y\n', false],
  ['braces', 'board: x\nparts:\n  U1: {note: %, mode: y}\n  R1: 470\n', true],
  ['the end of braces', 'board: x\nparts:\n  U1: {mode: y, note: %}\n  R1: 470\n', true],
  ['brackets', 'board: x\npinouts: [%, y]\n', true],
];

const misread = [
  '!x y',
  '*x',
  '&x',
  '@x',
  '%x',
  '|x',
  '>x',
  '`x',
  "'tis so",
  '"x" y',
  '#1 best',
  'size 5 #3 left',
  '-',
];

describe.each(places)('in %s', (name, text, inBraces) => {
  const texts = [
    ...misread,
    ...(name === 'a list entry' || name === 'brackets' ? [] : ['hum: loud', 'a: b: c', 'hum:']),
  ];
  test.each(texts)('%s is one finding, and its fix quotes it', (value) => {
    const whole = text.replace('%', () => value);
    const { problems } = parseBoard(whole);
    expect(findings(whole)).toEqual([`syntax: ${value}`]);
    expect(problems[0]!.fixes![0]!.safe).toBe(true);
    const mended = fixed(whole, problems[0]!);
    expect(parseBoard(mended).problems).toEqual([]);
    expect(mended).toBe(text.replace('%', () => quote(value)));
  });

  const fine = [
    'a # b',
    '12:30',
    'a#b',
    '-5',
    '- 5'.slice(1),
    '"a: b"',
    "'x #1'",
    'C:\\x',
    '+5',
    '1e3',
    'x -',
    '~',
    '=x',
    ':x',
  ];
  test.each(fine)('%s is read as written', (value) => {
    if (inBraces && value.includes(' # ')) return;
    expect(findings(text.replace('%', () => value))).toEqual([]);
  });
});

test('what was meant is still read, where it is only text', () => {
  const { value } = parseBoard('board: Foo: bar\nparts:\n  U1: {note: fits left, right, mode: a}\n');
  expect(value.value?.board?.value).toBe('Foo: bar');
  expect(value.value?.parts?.value?.[0]?.value.map?.value?.note?.value).toBe('fits left, right');
  expect(value.value?.parts?.value?.[0]?.value.map?.value?.mode?.value).toBe('a');
});

test('nothing else is reported from a misread value', () => {
  expect(findings('board: x\nnets: {A: {volts: @3 V, role: %x, complete: *y}}\n')).toEqual([
    'syntax: @3 V',
    'syntax: %x',
    'syntax: *y',
  ]);
});

describe('a comma inside braces', () => {
  test.each([
    ['board: x\nparts: {R1: {note: fits left, right}}\n', 'fits left, right'],
    ['board: x\nparts: {R1: {note: a, b, c, mode: d}}\n', 'a, b, c'],
    ['board: x\nparts: {C1: 22 uF, 6.3 V}\n', '22 uF, 6.3 V'],
    ['board: x\ncaptures: {t: {channels: {1: A, B}}}\n', 'A, B'],
  ])('%s', (text, value) => {
    expect(findings(text)).toEqual([`syntax: ${value}`]);
    expect(findings(fixed(text, parseBoard(text).problems[0]!))).toEqual([]);
  });

  test('is none where a key stands without its value yet', () => {
    expect(findings('board: x\nparts: {R1: {note: a, mode}}\n')).toEqual([]);
    expect(findings('board: x\nparts: {R1: 470, R2}\n')).toEqual([]);
    expect(findings('board: x\nnets: {A: {role: ground}, B}\n')).toEqual([]);
  });
});

describe('comments', () => {
  test.each([
    'board: x # found among the others',
    'board: x   #- so',
    'board: x\nparts:   #the parts\n  R1: 470\n',
    'board: x\nparts:\n  #R1: 470\n  R2: 470\n',
    'board: x\nparts: {R1: 470} #done\n',
    'board: "x" #done\n',
  ])('%j holds a comment', (text) => {
    expect(findings(text)).toEqual([]);
  });
});

test('several lines of text are quoted as one', () => {
  const text = 'board: x\ncomplaint: hums on\n  the left: always\n';
  expect(findings(text)).toEqual(['syntax: hums on\n  the left: always']);
  expect(fixed(text, parseBoard(text).problems[0]!)).toBe('board: x\ncomplaint: "hums on the left: always"\n');
});

test('keys can be misread too', () => {
  expect(findings('board: x\nnets:\n  !RST: {role: control}\n')).toEqual(['syntax: !RST']);
  expect(parseBoard('nets:\n  !RST: {role: control}\n').value.value?.nets?.value?.[0]?.key.text).toBe('!RST');
});

test('any text comes back from its quotes', () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 30, unit: 'grapheme' }), (text) => {
      const line = text.replace(/[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff]/g, '');
      const { root, problems } = parseTree(`a: ${quote(line)}`);
      expect(problems).toEqual([]);
      const value = root?.kind === 'map' ? root.pairs[0]!.value : null;
      expect(value?.kind === 'scalar' && value.text).toBe(line);
    }),
    { numRuns: 500, seed: 25 },
  );
});
