import { describe, expect, test } from 'vitest';
import type { BoardAnalysis } from '../../server/src/editor/analysis';
import { refactorings } from '../../server/src/editor/refactorings';
import { analyseBoard } from '../harness/memory';
import { apply } from './apply';

const missing = (analysis: BoardAnalysis) => analysis.findings.filter((one) => one.check === 'decoupling-missing');

/** What is offered where the first finding stands. */
async function offered(text: string) {
  const analysis = await analyseBoard(text);
  const span = missing(analysis)[0]?.place.span ?? { start: 0, end: 0 };
  const actions = refactorings(analysis, { start: span.start, end: span.start });
  return { analysis, action: actions.find((one) => one.kind === 'quickfix') };
}

/** The board after it; the finding is gone and nothing else is said that was not. */
async function mended(text: string): Promise<string> {
  const { analysis, action } = await offered(text);
  const after = apply(text, action!.edits);
  const now = await analyseBoard(after);
  expect(now.findings.map((one) => one.check)).toEqual(
    analysis.findings.filter((one) => one !== missing(analysis)[0]).map((one) => one.check),
  );
  // Copper that was known stays, and none is made up.
  const proven = (one: BoardAnalysis) => one.board.at().joins.filter((join) => join.evidence !== 'assumed').length;
  expect(proven(now)).toBe(proven(analysis));
  return after;
}

const nets = `nets:
  GND: {role: ground}
  V33: {role: supply, volts: 3.3 V, complete: yes}
`;
const chip = 'U1: {pins: {1: VDD, 2: VSS}}';

describe('a capacitor where none is listed', () => {
  test('is written as a guess: part with a remark, joins among the assumed ones', async () => {
    const text = `board: x
parts:
  ${chip}
  C4: 1 uF  # elsewhere
# copper
traces:
  buzzed:
    - V33 U1.VDD
    - U1.VSS GND
  assumed:
    - C4.1 X  # hm
${nets}`;
    expect((await offered(text)).action!.title).toBe('Add C5, 100 nF, from V33 to GND, as a guess to be proven');
    expect(await mended(text)).toBe(`board: x
parts:
  ${chip}
  C4: 1 uF  # elsewhere
  C5: 100 nF  # a guess: look for it close to U1.VDD
# copper
traces:
  buzzed:
    - V33 U1.VDD
    - U1.VSS GND
  assumed:
    - C4.1 X  # hm
    - C5.1 V33
    - C5.2 GND
${nets}`);
  });

  test('makes the lists that are not there', async () => {
    const text = `board: x\nparts:\n  ${chip}\n${nets}traces:\n  buzzed:\n    - V33 U1.VDD\n    - U1.VSS GND`;
    expect(await mended(text)).toBe(
      `board: x\nparts:\n  ${chip}\n  C1: 100 nF  # a guess: look for it close to U1.VDD\n${nets}traces:\n  buzzed:\n    - V33 U1.VDD\n    - U1.VSS GND\n  assumed:\n    - C1.1 V33\n    - C1.2 GND\n`,
    );
  });

  test('goes into brackets where the board is written so', async () => {
    const text = `board: x\nparts: { ${chip} }\n${nets}traces: {buzzed: [V33 U1.VDD, U1.VSS GND]}\n`;
    expect(await mended(text)).toBe(
      `board: x\nparts: { ${chip}, C1: 100 nF }\n${nets}traces: {buzzed: [V33 U1.VDD, U1.VSS GND], assumed: [C1.1 V33, C1.2 GND]}\n`,
    );
  });

  test('goes below keys that have nothing yet, with the line ends of the file', async () => {
    const text = `board: x\nparts:\n  ${chip}\n${nets}traces:\n  assumed:\n  buzzed:\n    - V33 U1.VDD\n    - U1.VSS GND\n`;
    expect(await mended(text.replaceAll('\n', '\r\n'))).toContain(
      '  assumed:\r\n    - C1.1 V33\r\n    - C1.2 GND\r\n  buzzed:',
    );
  });

  test('without nets it joins the points as the board spells them', async () => {
    const text = `board: x\ncomplete: yes\nparts:\n  ${chip}\n  BT1: 3.3 V\ntraces:\n  buzzed:\n    - BT1.+ U1.VDD\n    - U1.VSS BT1.-\n`;
    expect(await mended(text)).toMatch(/ {2}assumed:\n {4}- C1\.1 BT1\.\+\n {4}- C1\.2 U1\.VSS\n$/);
  });

  test('is not offered elsewhere, nor where there is no ground to join', async () => {
    const none = `board: x\ncomplete: yes\nparts:\n  U1: {pins: {1: VDD}}\nnets:\n  V33: {role: supply, volts: 3.3 V}\ntraces:\n  buzzed:\n    - V33 U1.VDD\n`;
    expect(missing(await analyseBoard(none))).toHaveLength(1);
    expect((await offered(none)).action).toBeUndefined();
    expect((await offered('board: x\nparts: {R1: 1}\n')).action).toBeUndefined();
    expect((await offered('board: x\nparts: {U1')).action).toBeUndefined();
  });
});
