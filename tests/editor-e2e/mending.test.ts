import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { desktopBench } from './bench';
import { layFile, saved } from './boards';
import { boardName } from './demo';
import { patience } from './editor-page';
import { act, actions, goBehind, suggestionDetails, waitForQuantityHelp } from './gestures';

// Writing and mending in the real editor, by keys and lists alone. Each test has a file of its own.
describe.skipIf(outside.missing('chromium', 'editor'))('writing and mending in the real editor', () => {
  const bench = desktopBench('mending', boardName);

  test('a misspelt word is mended from the bulb, and its mark goes', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text = 'board: Misspelt\nnets:\n  VREG: {role: suply, volts: 3.3 V}\n';
    const path = await layFile(bench(), 'misspelt.board.yaml', text);
    await editor.waitForMark('suply', 'error');
    await goBehind(editor, text, 'role: sup');
    expect(await actions(editor, 'Write `supply`')).toContain('Write `supply`');
    await editor.screenshot('mending-quick-fix');
    await act(editor, 'Write `supply`');
    await editor.waitForMark('VREG', 'error', false);
    expect(await saved(bench(), path)).toBe(text.replace('suply', 'supply'));
  });

  test('every slip that can be mended safely is mended at once', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text = 'board: Slips\nnets:\n  VREG: {role:supply}\n  VBAT: {role:supply, volts: 3.7 V}\n';
    const path = await layFile(bench(), 'slips.board.yaml', text);
    await editor.waitForMark('VBAT', 'error');
    await editor.command('Fix All');
    await editor.waitForText(/role: supply.*role: supply/s);
    expect(await saved(bench(), path)).toBe(text.replaceAll('role:', 'role: '));
  });

  test('a join that beeped goes over to the proven ones', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text =
      'board: Proven\nparts: {R9: 4k7, C7: 22 uF}\ntraces:\n  assumed:\n    - C7.- R9.1 # beeps now\n    - C7.+ R9.2\n';
    const path = await layFile(bench(), 'proven.board.yaml', text);
    await goBehind(editor, text, '- C7.-');
    await actions(editor, 'Proven: move to buzzed');
    await editor.screenshot('mending-move');
    await act(editor, 'Proven: move to buzzed');
    await editor.waitForText(/buzzed/);
    expect(await saved(bench(), path)).toBe(
      text.replace('  assumed:\n    - C7.- R9.1 # beeps now\n', '  buzzed:\n    - C7.- R9.1 # beeps now\n  assumed:\n'),
    );
  });

  test('pins of a chip become a pinout file beside the board', { timeout: 3 * patience }, async () => {
    const { folder, editor } = bench();
    const text =
      'board: Repeated\nparts:\n  U2: {marking: QX12, pins: {1: VDD, 2: GND}}\n  U3: {pins: {1: VDD, 2: GND}}\n';
    const path = await layFile(bench(), 'repeated.board.yaml', text);
    await goBehind(editor, text, '  U2');
    await act(editor, 'Move these pins to qx12.pinout.yaml (2 parts)');
    await editor.waitForText(/U3: \{pinout: qx12\}/);
    expect(await saved(bench(), path)).toContain('  U2: {marking: QX12, pinout: qx12}\n  U3: {pinout: qx12}\n');
    await editor.openFile(join(folder, 'qx12.pinout.yaml'));
    await editor.waitForText(/pinout: qx12.*1: VDD.*2: GND/s);
  });

  test('parts are sorted, and a part is written out', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text = 'board: Sorted\nparts:\n  R10: 10 k\n  R9: 4k7 # by its bands\n  C7: 22 uF 6.3 V\n';
    const path = await layFile(bench(), 'sorted.board.yaml', text);
    await goBehind(editor, text, 'parts');
    await act(editor, 'Sort parts by designator');
    await editor.waitForText(/C7.*R9.*R10/s);
    await editor.goTo(3, 4);
    await act(editor, 'Write as a map');
    await editor.waitForText(/value/);
    expect(await saved(bench(), path)).toBe(
      'board: Sorted\nparts:\n  C7: {value: 22 uF, rating: 6.3 V}\n  R9: 4k7 # by its bands\n  R10: 10 k\n',
    );
  });

  test('the formatter sets blanks right and keeps comments and braces', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text = 'board:   Set\nparts:\n    C1:    10 uF   # big\n    R1: {value: 10 k,   rating: 1 W}\n';
    const path = await layFile(bench(), 'set.board.yaml', text);
    await editor.command('Format Document');
    await editor.waitForText(/10 k, rating/);
    expect(await saved(bench(), path)).toBe(
      'board: Set\nparts:\n  C1: 10 uF   # big\n  R1: {value: 10 k, rating: 1 W}\n',
    );
  });

  test('help stands by while a quantity is typed', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text = 'board: Help\nparts:\n  J1: {style: jack-trs, load: }\n';
    await layFile(bench(), 'help.board.yaml', text);
    await goBehind(editor, text, 'load: ');
    await waitForQuantityHelp(editor, /load: resistance in ohms.*Such as 4k7; Ω, mΩ, kΩ/s);
    await editor.screenshot('mending-quantity');
    await editor.type('10 pF');
    await waitForQuantityHelp(editor, /load: capacitance in farads/);
  });

  test('recordings of the folder are offered', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text = 'board: Recorded\ncaptures:\n  take:\n    file: \n';
    await layFile(bench(), 'recorded.board.yaml', text);
    await goBehind(editor, text, 'file: ');
    const offered = await editor.suggestions();
    await editor.screenshot('mending-captures');
    expect(offered).toContain('captures/hollow-both.wav');
  });

  test('a part gets the next free designator, a key its page', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text = 'board: Next\nparts:\n  R1: 10 k\n  R2: 10 k\n';
    await layFile(bench(), 'next.board.yaml', text);
    await goBehind(editor, text, 'R2: 10 k');
    await editor.press('Enter');
    await editor.type('R');
    await editor.waitForSuggestion('R3');
    await editor.takeSuggestion('R3', /^\s*R3:/);
    await editor.type('{va');
    await editor.waitForSuggestion('value');
    expect(await suggestionDetails(editor)).toMatch(/value/);
    await editor.screenshot('mending-key');
  });

  test('nothing has failed on the way', async () => {
    expect(await bench().editor.notifications()).toEqual([]);
    expect(readFileSync(join(bench().folder, boardName), 'utf8')).toContain('Tidemill');
  });
});
