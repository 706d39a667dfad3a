import { describe, expect, test } from 'vitest';
import { definition } from '../../server/src/editor/definition';
import { board, pinout } from '../dialect/texts';
import { analyse, uriOf } from '../harness/memory';
import { atBoard, atPinout, covered, cursor } from './at';

/** "what is pointed at → file: what the place covers, its first line". */
async function leads(text: string): Promise<string | undefined> {
  const { analysis, offset } = await atBoard(text);
  const sheet = await analyse({ 'fw2210.pinout.yaml': pinout }, 'fw2210.pinout.yaml');
  const [found] = definition(analysis, offset, sheet.kind === 'pinout' ? [sheet] : []);
  if (!found) return undefined;
  const own = found.file === analysis.uri;
  const where = covered(own ? analysis.text : pinout, found.span).split('\n')[0];
  return `${covered(analysis.text, found.origin)} → ${own ? 'board' : found.file.slice(uriOf('').length)}: ${where}`;
}

describe('a point', () => {
  test('leads to its part, and behind the dot to the pin in the pinout', async () => {
    expect(await leads(cursor(board, 'U1.14'))).toBe('U1.14 → board: U1');
    expect(await leads(cursor(board, 'U1.14', 4))).toMatch(/^U1.14 → fw2210.pinout.yaml: 14: \{name: DACL/);
  });

  test('leads to its part where the part has no pinout', async () => {
    expect(await leads(cursor(board, 'R4.1', 4))).toBe('R4.1 → board: R4');
    expect(await leads('parts: {U1: {pins: {3: OUT}}}\ntraces: {seen: [U1.3$0 A]}')).toBe('U1.3 → board: 3: OUT');
  });

  test('leads to its net, or where the net is met first', async () => {
    expect(await leads(cursor(board, 'OUT_L\n'))).toBe('OUT_L → board: OUT_L');
    const { analysis, offset } = await atBoard('traces: {seen: [[R1.1, A], [C1.1, A$0]]}');
    expect(definition(analysis, offset)[0]?.span.start).toBe(analysis.text.indexOf('A'));
  });

  test('whose pin is not known still leads to its part', async () => {
    expect(await leads('parts:\n  U1: fw2210\ntraces: {seen: [U1.9$09 A]}')).toBe('U1.99 → board: U1');
  });

  test('of a part met only in joins leads to where it is met', async () => {
    expect(await leads('traces: {seen: [C3.1 A]}\nreadings: [C3.$01: 1 V]')).toBe('C3.1 → board: C3.1');
  });
});

test('a pinout, a mode, a state, a part', async () => {
  expect(await leads(cursor(board, 'fw2210,'))).toBe('fw2210 → fw2210.pinout.yaml: fw2210');
  expect(await leads(cursor(board, 'stereo}'))).toBe('stereo → fw2210.pinout.yaml: stereo');
  expect(await leads('parts:\n  U1: fw22$010')).toBe('fw2210 → fw2210.pinout.yaml: fw2210');
  expect(await leads('reworks: [{name: capped}]\nreadings: [{at: A, dc: 1 V, state: cap$0ped}]')).toBe(
    'capped → board: capped',
  );
  expect(await leads('parts: {F1: 1 A}\nreadings: [{in: F$01, amps: 1 mA}]')).toBe('F1 → board: F1');
});

test('inside a pinout a pin leads to its line', async () => {
  const { analysis, offset } = await atPinout(cursor(pinout, 'return: 2', 8));
  expect(covered(pinout, definition(analysis, offset)[0]!.span)).toBe('2: VSS');
  const mode = await atPinout(cursor(pinout, 'DACL: {left: 1}'));
  expect(covered(pinout, definition(mode.analysis, mode.offset)[0]!.span)).toMatch(/^14: /);
});

test('words that are no names lead nowhere', async () => {
  expect(await leads(cursor(board, 'complaint'))).toBeUndefined();
  expect(await leads(cursor(board, 'left, level'))).toBeUndefined();
  expect(await leads('traces: {seen: [$0]}')).toBeUndefined();
});
