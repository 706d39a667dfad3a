import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Node } from '../../server/src/dialect/node';
import { parseBoard } from '../../server/src/dialect/parse';
import { parseTree } from '../../server/src/dialect/tree';
import { format } from '../../server/src/editor/format';
import { anyText } from '../dialect/any-text';
import { board } from '../dialect/texts';
import { apply } from './apply';

const formatted = (text: string): string => apply(text, format({ text, parsed: parseBoard(text), uri: 'a' }));

const holds = (node: Node | null): unknown =>
  !node
    ? null
    : node.kind === 'scalar'
      ? [node.text, node.quoted]
      : node.kind === 'list'
        ? [node.flow, node.items.map(holds)]
        : [node.flow, node.pairs.map((pair) => [holds(pair.key), holds(pair.value)])];

/** What must not change: what is read, brackets or lines, and every comment in its place among the others. */
const kept = (text: string) => ({
  holds: holds(parseTree(text).root),
  comments: [...text.matchAll(/(?:^|[ \t])(#.*)$/gm)].map((match) => match[1]!.trimEnd()),
});

describe('formatting', () => {
  test('tidies blanks and keeps comments, quotes, order and style', () => {
    const text =
      'board: "a ,b"   \n\n\n\n# note\nparts:\n  R1: { value: 1 k ,  rating:  1 W }  # why\ntraces:\n  seen: [ [A,B], C D ]\n\n\n';
    expect(formatted(text)).toBe(
      'board: "a ,b"\n\n# note\nparts:\n  R1: {value: 1 k, rating: 1 W}  # why\ntraces:\n  seen: [[A, B], C D]\n',
    );
  });

  test('two blanks a level, lists below their key, one blank behind a dash and a colon', () => {
    const text = `board:    x
parts:
    R1:   1 k
    U1 :
         pins:
          1: VDD
traces:
 buzzed:
 -   A B
 -    [C, D]
 -
 assumed:
       - E F
readings:
- at:  A
  dc: 1 V
-   {at: B, dc: 2 V}
reworks:
-   name: r
    traces:
      seen:
      - - A
        - B
`.replace(' -\n', '');
    expect(formatted(text)).toBe(`board: x
parts:
  R1: 1 k
  U1:
    pins:
      1: VDD
traces:
  buzzed:
    - A B
    - [C, D]
  assumed:
    - E F
readings:
  - at: A
    dc: 1 V
  - {at: B, dc: 2 V}
reworks:
  - name: r
    traces:
      seen:
        - - A
          - B
`);
  });

  test('comments move with what they stand at', () => {
    const text = `# top
parts:
    # first
    R1: 1
      # about R1, further in
    # second
    R2: 2  # behind
# about traces
traces:
- x   # no list belongs here
# last
`;
    expect(formatted(text)).toBe(`# top
parts:
  # first
  R1: 1
    # about R1, further in
  # second
  R2: 2  # behind
# about traces
traces:
  - x   # no list belongs here
# last
`);
  });

  test('values that stand below one another stay so', () => {
    const text = 'nets:\n  GND:   {role: ground}\n  OUT_L: {role: audio-out}\n  X:  {role: data}\n';
    expect(formatted(text)).toBe('nets:\n  GND:   {role: ground}\n  OUT_L: {role: audio-out}\n  X: {role: data}\n');
  });

  test('text that goes over lines keeps what it says', () => {
    const text =
      'board: x\nparts:\n      U1:\n          note: |\n             a  \n\n\n\n               b\n          marking: one\n              two\n';
    const tidy = 'board: x\nparts:\n  U1:\n    note: |\n       a  \n\n\n\n         b\n    marking: one\n        two\n';
    expect(formatted(text)).toBe(tidy);
    expect(kept(tidy)).toEqual(kept(text));
  });

  test('brackets over several lines move as one', () => {
    expect(formatted('parts:\n    U1: {\n      a: 1,   # one\n      b: 2\n    }\n')).toBe(
      'parts:\n  U1: {\n    a: 1,   # one\n    b: 2\n  }\n',
    );
  });

  test.each([
    ['text that does not parse', 'board: "x   \nparts: {  R1: 1\n'],
    ['a list where a map belongs', '- a\n-    b\n'],
  ])('%s is left alone', (_, text) => {
    expect(formatted(text)).toBe(text);
  });

  test.each([
    ['an anchor before a list entry', 'board: x\nparts:\n    R1: &one\n        value: 1\n    R2: *one   \n'],
    ['a dash with nothing behind it', 'traces:\n    seen:\n    -\n    - A  B   \n'],
    ['windows line ends', 'parts:\r\n    R1:  1\r\n\r\n\r\n\r\n    R2: 2   \r\n'],
  ])('%s: whatever is tidied, nothing is lost', (_, text) => {
    const tidy = formatted(text);
    expect(kept(tidy)).toEqual(kept(text));
    expect(tidy).not.toMatch(/[ \t]+\r?$/m);
  });

  test('the contract board is tidy but for its blanks, and a second time nothing is left to do', () => {
    const once = formatted(board);
    expect(formatted(once)).toBe(once);
    expect(kept(once)).toEqual(kept(board));
  });

  test('never changes what any text means, and is done at once', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const tidy = formatted(text);
        expect(kept(tidy)).toEqual(kept(text));
        expect(formatted(tidy)).toBe(tidy);
        const problems = (one: string) => parseBoard(one).problems.map((problem) => problem.message);
        expect(problems(tidy).length).toBe(problems(text).length);
      }),
      { numRuns: 120, seed: 5 },
    );
  });

  test('one layout for the same entries, however they were indented', () => {
    fc.assert(
      fc.property(entries, fc.infiniteStream(fc.nat(3)), (tree, stream) => {
        const next = () => stream.next().value as number;
        const untidy = `board: x\n${written(tree, 0, next).join('\n')}\n`;
        const tidy = formatted(untidy);
        expect(kept(tidy)).toEqual(kept(untidy));
        expect(formatted(tidy)).toBe(tidy);
        expect(tidy.replace(/^ *#.*\n/gm, '')).toBe(`board: x\n${written(tree, 0, () => 0).join('\n')}\n`);
      }),
      { numRuns: 100, seed: 7 },
    );
  });
});

interface Tree {
  readonly name: string;
  readonly below: readonly Tree[] | string | readonly string[];
}

const name = fc.stringMatching(/^[a-z]{1,6}$/);
const { entries } = fc.letrec<{ entries: readonly Tree[]; entry: Tree }>((tie) => ({
  entries: fc.uniqueArray(tie('entry'), { minLength: 1, maxLength: 3, selector: (one) => one.name }),
  entry: fc.record({
    name: name.filter((one) => one !== 'board'),
    below: fc.oneof({ depthSize: 'small' }, name, fc.array(name, { minLength: 1, maxLength: 3 }), tie('entries')),
  }),
}));

/** Entries as lines, `more` blanks further in than needed, with remarks here and there; with no more they are tidy. */
function written(tree: readonly Tree[], column: number, more: () => number): string[] {
  return tree.flatMap(({ name, below }) => {
    const pad = ' '.repeat(column);
    const remark = more() === 3 ? [`${' '.repeat(more() * 2)}# about ${name}`] : [];
    if (typeof below === 'string') return [...remark, `${pad}${name}: ${below}`];
    const inner = column + 2 + more();
    const lines =
      typeof below[0] === 'string'
        ? below.map((word) => `${' '.repeat(inner)}- ${' '.repeat(more())}${word}`)
        : written(below as readonly Tree[], inner, more);
    return [...remark, `${pad}${name}:`, ...lines];
  });
}
