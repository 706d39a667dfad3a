import { describe, expect, it } from 'vitest';
import { isCurrent } from '../../server/src/board/currency';
import { boardOf, problemsOf } from './boards';

const text = `parts: {R1: 470, C8: 22 uF, R9: 1 k}
traces:
  buzzed:
    - U1.13 C8.+
    - C8.- R1.1 OUT
    - R9.1 OUT
    - R9.2 GND
readings:
  - OUT: 1 mV
  - U1.13: 1.6 V
  - R9.2: 0 mV
reworks:
  - name: capacitor out
    parts: {C8: ~}
    cuts: [U1.13 C8.+]
  - name: bleeder
    parts: {R12: 47 k, R9: {value: 2 k}}
    traces: {buzzed: [R12.1 OUT, R12.2 GND]}
  - did: nothing to copper
`;

describe('a value and a marking', () => {
  it.each([
    ['{value: 1 k}', '{code: 472}', 4700],
    ['{code: 102}', '{value: 4k7}', 4700],
    ['{value: 1 k, code: 102}', '{note: cleaned}', 1000],
  ])('%s, after %s', (before, after, ohms) => {
    const board = boardOf(`parts: {R6: ${before}}\nreworks:\n  - {name: later, parts: {R6: ${after}}}\n`);
    expect(problemsOf(board)).toEqual([]);
    expect(board.at().parts.get('R6')!.value!.value).toBeCloseTo(ohms, 9);
  });
});

describe('states after reworks', () => {
  const board = boardOf(text);

  it('lists them in order, nameless ones by their number', () => {
    expect(board.states).toEqual(['as-found', 'capacitor out', 'bleeder', 'rework 3']);
    expect(board.lastState).toBe('rework 3');
    expect(problemsOf(board)).toEqual([]);
  });

  it('copper, parts and values are those of the state asked for', () => {
    const found = board.at('as-found');
    expect(found.node('U1.13')).toBe(found.node('C8.1'));
    expect(found.parts.get('C8')?.fitted).toBe(true);
    expect(found.parts.get('R12')?.value).toBeUndefined();
    const out = board.at('capacitor out');
    expect(out.node('U1.13')).not.toBe(out.node('C8.1'));
    expect(out.parts.get('C8')?.fitted).toBe(false);
    expect(out.parts.get('R9')?.value?.value).toBe(1000);
    const last = board.at();
    expect(last.node('R12.1')).toBe(last.node('OUT'));
    expect(last.parts.get('R9')?.value?.value).toBe(2000);
  });

  it('a cut takes a whole join away, and lifts the first point it names out of a longer one', () => {
    const cut = boardOf('traces: {buzzed: [A B C, D E]}\nreworks: [{name: x, cuts: [A B, D E]}]').at();
    expect(cut.node('B')).toBe(cut.node('C'));
    expect(cut.node('A')).not.toBe(cut.node('B'));
    expect(cut.node('D')).not.toBe(cut.node('E'));
  });

  it('a reading is stale only where a later rework changed its own node or part', () => {
    const [out, pin, ground] = board.readings;
    expect(isCurrent(board, out!.points, out!.state)).toBe(false);
    expect(isCurrent(board, pin!.points, pin!.state)).toBe(false);
    expect(isCurrent(board, ground!.points, ground!.state)).toBe(false);
    const other = boardOf(
      'traces: {buzzed: [A B, C D]}\nreadings: [A: 1 V]\nreworks: [{name: x, traces: {buzzed: [C E]}}]',
    );
    expect(isCurrent(other, other.readings[0]!.points, 'as-found')).toBe(true);
  });

  it('a name nobody gave is told', () => {
    expect(problemsOf(boardOf('readings: [{at: A, dc: 1 V, state: blleder}]\nreworks: [{name: bleeder}]'))).toEqual([
      expect.stringMatching(/^unknown-reference .*blleder/),
    ]);
    expect(problemsOf(boardOf('reworks: [{name: x}, {name: x}]'))[0]).toMatch(/^duplicate-name/);
  });
});
