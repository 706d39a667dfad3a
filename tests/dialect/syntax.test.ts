import { describe, expect, test } from 'vitest';
import type { Node } from '../../server/src/dialect/node';
import { parseBoard } from '../../server/src/dialect/parse';
import { parseTree } from '../../server/src/dialect/tree';
import { findings, fixed } from './findings';

const show = (node: Node | null): unknown => {
  if (!node) return null;
  if (node.kind === 'scalar') return node.text;
  if (node.kind === 'list') return node.items.map(show);
  return Object.fromEntries(node.pairs.map((pair) => [pair.key.text, show(pair.value)]));
};
const tree = (text: string) => show(parseTree(text).root);

describe('one slip is one finding, and the rest is read', () => {
  test.each<[name: string, text: string, finding: string[], rest: unknown]>([
    ['a brace left open', 'a: {b: c\nd: e\n', ['syntax: {'], { a: { b: 'c' }, d: 'e' }],
    ['brackets left open', 'a: [b, [c\nd: e\n', ['syntax: ['], { a: ['b', ['c']], d: 'e' }],
    ['a brace left open in a list', 'a:\n  - {b: c\n  - d\n', ['syntax: {'], { a: [{ b: 'c' }, 'd'] }],
    ['a brace too many', 'a: {b: c}}\nd: e\n', ['syntax: }'], { a: { b: 'c' }, d: 'e' }],
    ['the wrong bracket', 'a: [b}\nd: e\n', ['syntax: }'], { a: ['b'], d: 'e' }],
    ['text behind a value', 'a: {b: c} d\ne: f\n', ['syntax: d'], { a: { b: 'c' }, e: 'f' }],
    ['a quote left open', 'a: "b\nc: d\n', ['syntax: "b'], { a: 'b', c: 'd' }],
    ['a quote left open in braces', 'a: {b: "c, d: e}\nf: g\n', ['syntax: "c'], { a: { b: 'c', d: 'e' }, f: 'g' }],
    ['a missing colon', 'a:\n  b\n  c: d\n', ['syntax: b'], { a: { b: null, c: 'd' } }],
    ['a missing colon between keys', 'a: b\nc\nd: e\n', ['syntax: c'], { a: 'b', c: null, d: 'e' }],
    ['a missing colon above a map', 'a:\n  bc\n    d: e\n', ['syntax: bc'], { a: { bc: { d: 'e' } } }],
    ['no space behind a colon', 'a:\n  b:{c: d}\n  e: f\n', ['syntax: b:'], { a: { b: null, e: 'f' } }],
    ['a map below a value', 'a: b\n  c: d\ne: f\n', ['syntax: c: d'], { a: 'b', e: 'f' }],
    ['a map below a closed one', 'a: {b: c}\n  d: e\n  f: g\nh: i\n', ['syntax: d: e'], { a: { b: 'c' }, h: 'i' }],
    ['an entry among keys', 'a:\n  b: c\n  - d\n  e: f\n', ['syntax: - d'], { a: { b: 'c', e: 'f' } }],
    ['an entry without its dash', 'a:\n  - b\n  c\n  - d\n', ['syntax: c'], { a: ['b', 'd'] }],
    ['a comma missing between lines', 'a: {b: c\n  d: e}\nf: g\n', ['syntax: d'], { a: { b: 'c', d: 'e' }, f: 'g' }],
    ['a comma too many', 'a: [b, , c]\nd: e\n', ['syntax: ,'], { a: ['b', 'c'], d: 'e' }],
    ['tabs', 'a:\n\tb: c\n\td: e\nf: g\n', ['syntax: \t'], { a: { b: 'c', d: 'e' }, f: 'g' }],
    ['a line out of column', 'a:\n   b: c\n  d: e\nf: g\n', ['syntax: d: e'], { a: { b: 'c' }, d: 'e', f: 'g' }],
    ['a second document', 'a: b\n---\nc: d\n', ['syntax: ---'], { a: 'b' }],
    ['a first line that is indented', '  a: b\nc: d\ne: f\n', ['syntax: a: b'], { c: 'd', e: 'f' }],
    ['an unknown escape', 'a: "b\\q"\nc: d\n', ['syntax: \\'], { a: 'b\\q', c: 'd' }],
    ['no key before a colon', 'a:\n  : b\n  c: d\n', ['syntax: '], { a: { c: 'd' } }],
    ['a merge', 'a: {<<: b, c: d}\n', ['syntax: <<'], { a: { c: 'd' } }],
  ])('%s', (_name, text, finding, rest) => {
    const { problems } = parseTree(text);
    expect(problems.map(({ check, span }) => `${check}: ${text.slice(span.start, span.end)}`)).toEqual(finding);
    expect(tree(text)).toEqual(rest);
    const fixable = problems.find((problem) => problem.fixes);
    if (fixable) expect(parseTree(fixed(text, fixable)).problems).toEqual([]);
  });
});

test('a brace left open around everything is one finding too', () => {
  expect(findings('{board: x\nparts:\n  R1: 470\nexpect:\n  - joined: A B\n')).toEqual(['syntax: {']);
});

test('messages are our own', () => {
  const jargon = /scalar|mapping|sequence|flow|block|node|implicit|token|YAML/i;
  for (const text of [
    'a: "\\q"',
    'a: [b',
    '? [a]: b',
    '%X\n',
    '- {a\n',
    ': x',
    'a: *b\nc: &d e',
    'a:\n   b: c\n  d: e',
  ]) {
    for (const { message } of parseTree(text).problems) expect(message).not.toMatch(jargon);
  }
});

describe('repeats', () => {
  test('a name given with & and used with * stands for its value', () => {
    expect(tree('a: &x {b: c}\nd: *x\ne: [*x, &y f, *y]\n')).toEqual({
      a: { b: 'c' },
      d: { b: 'c' },
      e: [{ b: 'c' }, 'f', 'f'],
    });
    const text = 'board: x\nparts:\n  R1: &same {vlaue: 470}\n  R2: *same\n';
    expect(findings(text)).toEqual(['unknown-key: vlaue']);
  });

  test('one of the two alone is text without quotes', () => {
    expect(findings('board: *x\n')).toEqual(['syntax: *x']);
    expect(findings('board: &x y\n')).toEqual(['syntax: &x y']);
  });

  test('a repeat above its value, or inside itself, is refused', () => {
    expect(findings('board: *x\ncomplaint: &x y\n')).toEqual(['syntax: *x']);
    expect(findings('board: y\nparts: &x {R1: *x}\n')).toEqual(['syntax: *x']);
  });

  test('repeats of repeats of repeats stop at a bound', () => {
    const lines = ['board: x', 'pinouts: &a0 [a, b, c, d, e, f, g, h, i]'];
    for (let i = 1; i < 30; i++)
      lines.push(
        `k${i}: &a${i} [${Array(9)
          .fill(`*a${i - 1}`)
          .join(', ')}]`,
      );
    const text = lines.join('\n');
    const { problems } = parseTree(text);
    expect(problems.map(({ message }) => message)).toEqual([
      'Repeats inside repeats make this file too large to read.',
    ]);
    expect(parseBoard(text).problems.length).toBeGreaterThan(0);
  });
});

describe('what is hardly a board', () => {
  test.each([
    ['', 'missing-key: '],
    ['# nothing yet\n', 'missing-key: '],
    ['just text', 'wrong-type: just text'],
    ['- a\n- b\n', 'wrong-type: -'],
    ['RIFF\0\0\0WAVE', 'syntax: \0'],
    ['~', 'wrong-type: ~'],
    ['[a, b]', 'wrong-type: ['],
  ])('%j: one finding', (text, finding) => {
    expect(findings(text)).toEqual([finding]);
  });

  test.each([
    ['brackets', '['.repeat(50_000)],
    ['closed brackets', `a: ${'['.repeat(3_000)}${']'.repeat(3_000)}`],
    ['dashes', '- '.repeat(50_000)],
    ['lines', Array.from({ length: 1_000 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')],
  ])('%s nested without end are given up once', (_name, text) => {
    const { problems } = parseTree(text);
    expect(problems).toHaveLength(1);
    expect(problems[0]!.message).toMatch(/nested more than \d+ deep/);
  });

  test('question marks nested without end are given up', () => {
    const { problems } = parseTree('? '.repeat(50_000));
    expect(problems.map(({ message }) => message)).toEqual([
      'A key is a text, not a list or a map.',
      'Lines are nested more than 40 deep here.',
    ]);
  });

  test('a byte order mark, CRLF and lone CR do no harm', () => {
    expect(tree('\ufeffa: b\r\nc: {d: e}\r\n')).toEqual({ a: 'b', c: { d: 'e' } });
    expect(tree('a: b\rc:\r  - d\r  - e\r')).toEqual({ a: 'b', c: ['d', 'e'] });
    expect(findings('\ufeffboard: x\r\nparts:\r\n  R1: 470\r\n')).toEqual([]);
  });
});

test('inside broken syntax nothing is said about meaning', () => {
  expect(findings('board: x\nparts:\n  U1: {vlaue: 3, moed: 4\n  R1: {vlaue: 3}\n')).toEqual([
    'syntax: {',
    'unknown-key: vlaue',
  ]);
  expect(findings('boa\nparts: {}\n')).toEqual(['syntax: boa', 'missing-key: boa']);
  expect(findings(' board: x\nparts: {}\n')).toEqual(['syntax: board: x']);
});
