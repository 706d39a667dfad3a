import { describe, expect, test } from 'vitest';
import type { Action } from '../../server/src/editor/actions';
import type { BoardAnalysis } from '../../server/src/editor/analysis';
import { compareDesignators } from '../../server/src/editor/refactor/sort-parts';
import { refactorings } from '../../server/src/editor/refactorings';
import { board, pinout } from '../dialect/texts';
import { analyseBoard } from '../harness/memory';
import { apply } from './apply';
import { atBoard, cursor } from './at';

async function offered(text: string): Promise<{ analysis: BoardAnalysis; actions: Action[] }> {
  const { analysis, offset } = await atBoard(text);
  return { analysis, actions: refactorings(analysis, { start: offset, end: offset }) };
}

/** The text after the refactoring whose title starts so; the rest of the board must mean what it meant. */
async function mended(text: string, title: string): Promise<string> {
  const { analysis, actions } = await offered(text);
  const action = actions.find((one) => one.title.startsWith(title));
  if (!action) throw new Error(`not offered: ${actions.map((one) => one.title).join(' | ')}`);
  return apply(analysis.text, action.edits);
}

describe('a join', () => {
  test('that was assumed is proven: it goes behind the buzzed ones, with its comment', async () => {
    const text = `traces:
  buzzed:
    - A B  # first
  assumed:
    - R6$0.2 GND  # a guess
    - U1.7 VSYS
`;
    expect(await mended(text, 'Proven')).toBe(`traces:
  buzzed:
    - A B  # first
    - R6.2 GND  # a guess
  assumed:
    - U1.7 VSYS
`);
  });

  test('the last of its list takes the key along; a list that is not there is made', async () => {
    expect(await mended('traces:\n  assumed:\n    - R6$0.2 GND\nnets: {}\n', 'Proven')).toBe(
      'traces:\n  buzzed:\n    - R6.2 GND\nnets: {}\n',
    );
    expect(await mended('traces:\n  assumed:\n    - R6$0.2 GND', 'Move to seen')).toBe(
      'traces:\n  seen:\n    - R6.2 GND\n',
    );
  });

  test('goes into a list that is indented otherwise', async () => {
    expect(await mended('traces:\n  buzzed:\n  - A B\n  seen:\n      - C$0 D\n      - E F\n', 'Move to buzzed')).toBe(
      'traces:\n  buzzed:\n  - A B\n  - C D\n  seen:\n      - E F\n',
    );
  });

  test('of the contract board keeps every other join and gives no new finding', async () => {
    const text = await mended(cursor(board, 'R6.2 R7.2 GND'), 'Proven');
    const others = { 'fw2210.pinout.yaml': pinout };
    const [before, now] = [await analyseBoard(board, others), await analyseBoard(text, others)];
    const joins = (one: BoardAnalysis) =>
      one.board
        .at()
        .joins.map((join) => join.points.map((p) => p.text).join(' '))
        .sort();
    expect(joins(now)).toEqual(joins(before));
    expect(now.board.at().joins.filter((join) => join.evidence === 'assumed')).toHaveLength(1);
    expect(now.findings.map((finding) => finding.check)).toEqual(before.findings.map((finding) => finding.check));
  });

  test.each([
    ['the only one takes its key along', '{assumed: [[R6$0.2, GND]]}', '{buzzed: [[R6.2, GND]]}'],
    ['one of several', '{assumed: [A B, C$0 D], seen: [E F]}', '{assumed: [A B], seen: [E F], buzzed: [C D]}'],
    ['the first', '{buzzed: [], assumed: [A$0 B , C D]}', '{buzzed: [A B], assumed: [C D]}'],
    ['an empty list is taken out', '{ assumed: [A$0 B], buzzed: [C D, [E, F]] }', '{ buzzed: [C D, [E, F], A B] }'],
    ['in brackets below a key', '\n  assumed: [A B, C$0 D]\n', '\n  assumed: [A B]\n  buzzed:\n    - C D\n'],
    ['from brackets to lines', '\n  buzzed:\n    - A B\n  assumed: [C$0 D]\n', '\n  buzzed:\n    - A B\n    - C D\n'],
    [
      'from lines to brackets',
      '\n  buzzed: [A B]\n  assumed:\n    - C$0, D  # hm\n    - E F\n',
      '\n  buzzed: [A B, [C, D]]\n  assumed:\n    - E F\n',
    ],
  ])('in brackets: %s', async (_, before, after) => {
    const text = await mended(`board: x\ntraces: ${before}`, 'Proven');
    expect(text).toBe(`board: x\ntraces: ${after}`);
    const joins = async (one: string) =>
      (await analyseBoard(one)).board
        .at()
        .joins.map((join) => join.points.map((point) => point.text).join(' '))
        .sort();
    expect(await joins(text)).toEqual(await joins(`board: x\ntraces: ${before.replace('$0', '')}`));
  });

  test('in brackets that do not close is left alone', async () => {
    expect((await offered('board: x\ntraces: {assumed: [A$0 B, C D')).actions.map((one) => one.title)).toEqual([]);
  });
});

test('parts in brackets are sorted too, unless remarks stand between them', async () => {
  expect(await mended('parts: {R10$0: 1 k, C2: {value: 1u}, R2: 2 k }\n', 'Sort')).toBe(
    'parts: {C2: {value: 1u}, R2: 2 k, R10: 1 k }\n',
  );
  expect((await offered('parts: {R10$0: 1 k, # ten\n  R2: 2 k}\n')).actions.map((one) => one.title)).not.toContain(
    'Sort parts by designator',
  );
});

test('parts are sorted by designator, comments with them', async () => {
  const text = 'parts:\n  R10: 1 k\n  # the first\n  R2: 2 k  # two\n  C1:\n    value: 1u\n$0nets: {}\n';
  const sorted = await mended(text.replace('$0', '').replace('R10', 'R$010'), 'Sort');
  expect(sorted).toBe('parts:\n  C1:\n    value: 1u\n  # the first\n  R2: 2 k  # two\n  R10: 1 k\nnets: {}\n');
  expect((await offered(sorted.replace('C1', 'C$01'))).actions.map((one) => one.title)).not.toContain(
    'Sort parts by designator',
  );
  expect(['R10', 'X', 'R2', 'C3', 'R2A'].sort(compareDesignators)).toEqual(['C3', 'R2', 'R2A', 'R10', 'X']);
});

describe('the short form of a part and its map', () => {
  test.each([
    ['C7: 22 uF 6.3 V', 'C7: {value: 22 uF, rating: 6.3 V}'],
    ['R4: 470 5 %', 'R4: {value: 470, tolerance: 5 %}'],
    ['J2: jack-trs', 'J2: {style: jack-trs}'],
    ['U1: fw2210', 'U1: {pinout: fw2210}'],
  ])('%s and %s are one, and lead to each other', async (short, long) => {
    const wrap = (entry: string) => `board: x\nparts:\n  ${entry}  # comment\n`;
    const at = (entry: string) => wrap(`${entry.slice(0, 1)}$0${entry.slice(1)}`);
    expect(await mended(at(short), 'Write as a map')).toBe(wrap(long));
    expect(await mended(at(long), 'Write in short form')).toBe(wrap(short));
    const name = short.split(':')[0]!;
    const of = async (entry: string) =>
      (await analyseBoard(wrap(entry), { 'fw2210.pinout.yaml': pinout })).board.at().parts.get(name)!;
    const [a, b] = [await of(short), await of(long)];
    for (const key of ['value', 'tolerance', 'style', 'pinout', 'ratings'] as const) {
      const value = (part: typeof a) =>
        key === 'value'
          ? part.value?.value
          : key === 'ratings'
            ? part.ratings.map((r) => r.value)
            : key === 'pinout'
              ? part.pinout?.name
              : part[key];
      expect(value(b)).toEqual(value(a));
    }
  });

  test('a map over several lines, and one that says more', async () => {
    expect(await mended('parts:\n  R$01:\n    value: 1 k\n    rating: 1 W\n  R2: 1\n', 'Write in short')).toBe(
      'parts:\n  R1: 1 k 1 W\n  R2: 1\n',
    );
    for (const entry of ['{value: 1 k, note: x}', '{code: "102"}', 'not-fitted'])
      expect((await offered(`parts:\n  R$01: ${entry}\n`)).actions).toEqual([]);
  });
});

test('inline pins go to a pinout file, for every part that has the same', async () => {
  const text = `board: x
parts:
  U$02: {marking: "ZX25 0931", package: soic-8, pins: {1: CS, 4: VSS, 8: {name: VCC, volts: [2.7 V, 3.6 V]}}}
  U3:
    pins:
      1: CS
      4: VSS
      8:
        name: VCC
        volts: [2.7 V, 3.6 V]
traces: {seen: [U2.VCC U3.VCC]}
`;
  const { analysis, actions } = await offered(text);
  const action = actions.find((one) => one.create)!;
  expect(action.title).toBe('Move these pins to zx25.pinout.yaml (2 parts)');
  expect(action.create).toEqual({
    name: 'zx25.pinout.yaml',
    text: 'pinout: zx25\npackage: soic-8\npins:\n  1: CS\n  4: VSS\n  8: {name: VCC, volts: [2.7 V, 3.6 V]}\n',
  });
  const now = await analyseBoard(apply(analysis.text, action.edits), { [action.create!.name]: action.create!.text });
  expect(now.findings).toEqual([]);
  for (const name of ['U2', 'U3']) {
    const [a, b] = [analysis, now].map((one) => one.board.at().parts.get(name)!.pinout!);
    expect(b!.name).toBe('zx25');
    expect([...b!.pins.values()].map((pin) => [pin.key, pin.name, pin.role, pin.volts])).toEqual(
      [...a!.pins.values()].map((pin) => [pin.key, pin.name, pin.role, pin.volts]),
    );
  }
});

describe('remarks between the pins go along', () => {
  const made = async (text: string) => {
    const { analysis, actions } = await offered(text);
    const action = actions.find((one) => one.create)!;
    return { title: action.title, file: action.create!.text, text: apply(analysis.text, action.edits) };
  };

  test('on lines of their own and behind pins', async () => {
    const text = `board: x
parts:
  U$02:
    pins:  # from the sheet
      # left side
      1: CS  # select
      4:
        name: VSS  # ground
        # not the pad

      8: VCC  # last
    note: flash  # kept
  U3:
    pins:
      1: CS  # mine
      4: VSS
      8: VCC
`;
    expect(await made(text)).toEqual({
      title: 'Move these pins to u2.pinout.yaml',
      file: 'pinout: u2\npins:\n  # from the sheet\n  # left side\n  1: CS  # select\n  4:\n    name: VSS  # ground\n    # not the pad\n  8: VCC  # last\n',
      text: text.replace('$0', '').replace(/pins: {2}#[\s\S]*# last/, 'pinout: u2'),
    });
  });

  test('in brackets over several lines', async () => {
    const text =
      'board: x\nparts:\n  U$02:\n    pins: {  # sheet\n      1: CS,  # select\n      # other side\n      4: VSS,\n      8: VCC}\n';
    expect((await made(text)).file).toBe(
      'pinout: u2\npins:\n  # sheet\n  1: CS  # select\n  # other side\n  4: VSS\n  8: VCC\n',
    );
  });
});
