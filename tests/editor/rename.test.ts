import { describe, expect, test } from 'vitest';
import type { BoardAnalysis, PinoutAnalysis } from '../../server/src/editor/analysis';
import { prepareRename, rename } from '../../server/src/editor/rename';
import { board, pinout } from '../dialect/texts';
import { bench, uriOf } from '../harness/memory';
import { cursor } from './at';

type Files = Record<string, string>;

/** The files after a rename of what `$0` marks in one of them, or why there is none. */
async function renamed(files: Files, name: string): Promise<Files | string> {
  const at = Object.keys(files).find((file) => files[file]!.includes('$0'))!;
  const offset = files[at]!.indexOf('$0');
  const plain = Object.fromEntries(Object.entries(files).map(([file, text]) => [file, text.replace('$0', '')]));
  const { workspace } = bench(plain);
  const all = (await Promise.all(Object.keys(plain).map((file) => workspace.settled(uriOf(file))))) as (
    | BoardAnalysis
    | PinoutAnalysis
  )[];
  const result = rename(all.find((one) => one.uri === uriOf(at))!, offset, name, all);
  if ('problem' in result) return result.problem;
  const after = { ...plain };
  for (const edit of [...result.edits].sort((a, b) => b.span.start - a.span.start)) {
    const file = edit.file.slice(uriOf('').length);
    after[file] = after[file]!.slice(0, edit.span.start) + edit.text + after[file]!.slice(edit.span.end);
  }
  return after;
}

const whole = (text: string): Files => ({ 'a.board.yaml': text, 'fw2210.pinout.yaml': pinout });

async function findings(files: Files): Promise<string[]> {
  const { workspace } = bench(files);
  const all = await Promise.all(Object.keys(files).map((file) => workspace.settled(uriOf(file))));
  return all.flatMap((one) => one.findings.map((finding) => `${finding.check} ${finding.severity}`));
}

describe('on the contract board', () => {
  test.each([
    ['a part', 'U1.14', 1, 'U7', /U7: \{pinout[\s\S]*\[U7\.14, C7\.\+\][\s\S]*U7\.2 J2\.sleeve: 0\.3/],
    ['a net', 'OUT_L\n', 1, 'LINE_L', /J2\.tip LINE_L[\s\S]*LINE_L: \{role[\s\S]*1: LINE_L[\s\S]*left: LINE_L/],
    ['a capture', 'tone-left:', 1, 'first', /\n {2}first:\n/],
  ])('%s, everywhere, and no finding comes or goes', async (_, word, by, name, shape) => {
    const files = (await renamed(whole(cursor(board, word, by)), name)) as Files;
    expect(files['a.board.yaml']).toMatch(shape);
    expect(await findings(files)).toEqual(await findings(whole(board)));
  });
});

test('a pin by its name: in the pinout, its modes and on the board; numbers stay', async () => {
  const text = 'board: x\nparts: {U1: fw2210}\ntraces:\n  seen:\n    - U1.DACL A\n    - U1.14 B\n';
  const files = (await renamed(
    { 'a.board.yaml': text, 'fw2210.pinout.yaml': cursor(pinout, 'DACL, role') },
    'LEFT',
  )) as Files;
  expect(files['a.board.yaml']).toContain('- U1.LEFT A\n    - U1.14 B');
  expect(files['fw2210.pinout.yaml']).not.toContain('DACL');
  expect(files['fw2210.pinout.yaml']!.match(/LEFT/g)).toHaveLength(4);
  const back = (await renamed(
    { ...files, 'a.board.yaml': files['a.board.yaml']!.replace('U1.LEFT', 'U1.LE$0FT') },
    'DACL',
  )) as Files;
  expect(back).toEqual({ 'a.board.yaml': text, 'fw2210.pinout.yaml': pinout });
});

test('a rework, an output mode and a pinout', async () => {
  const text = 'board: x\nreworks:\n  - name: cap$0ped\nreadings: [{at: A, dc: 1 V, state: capped}]\n';
  expect(((await renamed(whole(text), 'fixed')) as Files)['a.board.yaml']).toBe(
    text.replaceAll('capped', 'fixed').replace('cap$0ped', 'fixed'),
  );
  const mode = (await renamed(
    { 'a.board.yaml': board, 'fw2210.pinout.yaml': cursor(pinout, 'stereo:  ') },
    'normal',
  )) as Files;
  expect(mode['a.board.yaml']).toContain('mode: normal');
  const sheet = (await renamed(whole(cursor(board, 'fw2210,')), 'fw2299')) as Files;
  expect(sheet['a.board.yaml']).toContain('pinout: fw2299');
  expect(sheet['fw2210.pinout.yaml']).toContain('pinout: fw2299');
});

test.each([
  ['R4: 470', 'R5', 'There is a part called R5 already.'],
  ['R4: 470', 'OUT', 'OUT is no designator'],
  ['OUT_L\n', 'GND', 'There is a net called GND already.'],
  ['OUT_L\n', 'R9.1', 'R9.1 would be read as a part or a pin of one.'],
  ['OUT_L\n', 'a b', 'a b holds a character'],
  ['U1.14', '', 'A name cannot be empty.'],
])('%j cannot become %j', async (word, name, problem) => {
  expect(await renamed(whole(cursor(board, word)), name)).toContain(problem);
});

test('what has no name of its own cannot be renamed', async () => {
  const { workspace } = bench(whole(board));
  const analysis = (await workspace.settled(uriOf('a.board.yaml'))) as BoardAnalysis;
  const at = (word: string, by = 1) => prepareRename(analysis, board.indexOf(word) + by);
  expect(at('U1.14', 4)).toMatchObject({ problem: expect.stringContaining('number') });
  expect(at('complaint')).toMatchObject({ problem: expect.stringContaining('Put the cursor') });
  expect(at('U1.14')).toMatchObject({ name: 'U1' });
});
