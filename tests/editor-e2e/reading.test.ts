import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { desktopBench } from './bench';
import { layFile, saved } from './boards';
import { behind, boardName } from './demo';
import { patience } from './editor-page';
import { follow, followCalls, goBehind, goToSymbol, peeked, rename } from './gestures';

// Reading a board and moving about in it, in the real editor. Each test goes to its own place by itself.
describe.skipIf(outside.missing('chromium', 'editor'))('reading and moving in the real editor', () => {
  const bench = desktopBench('reading', boardName);
  const board = () => join(bench().folder, boardName);

  test('between the words stands what is worked out, and it can be switched off', {
    timeout: 3 * patience,
  }, async () => {
    const { folder, editor } = bench();
    await editor.openFile(board());
    await editor.goTo(...behind('OUT_L: { role'));
    await editor.waitForText(/OUT_L: .*−3 dB at 0\.865 Hz.*789 mV RMS at 0 dBFS/);
    await editor.screenshot('reading-hints');
    expect(await editor.text()).not.toContain('…');
    mkdirSync(join(folder, '.vscode'), { recursive: true });
    const settings = join(folder, '.vscode/settings.json');
    writeFileSync(settings, JSON.stringify({ 'buzzout.hints': { corner: false } }));
    await editor.waitForText(/OUT_L: .*channel: left }\s*789 mV RMS/);
    writeFileSync(settings, '{}');
    await editor.waitForText(/OUT_L: .*−3 dB at/);
    expect(readFileSync(board(), 'utf8')).not.toContain('−3 dB');
  });

  test('above a recording stands what it came to, above the board how much was found', {
    timeout: 3 * patience,
  }, async () => {
    const { editor } = bench();
    await editor.openFile(board());
    await editor.goTo(...behind('noise-unlike'));
    await editor.waitForLens(/antiphase/);
    await editor.screenshot('reading-lenses');
    await editor.goTo(...behind('board: Tidemill'));
    await editor.waitForLens(/^\d findings?/);
  });

  test('the item below counts, and leads to the findings and to their places', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.openFile(board());
    await editor.waitForStatus(/^1 warning/);
    await editor.page.locator('.statusbar-item[id*="buzzout"] a').click();
    const row = editor.page.locator('.markers-panel .monaco-list-row', { hasText: 'channels-antiphase' });
    await row.click();
    await editor.page.locator('.monaco-editor .view-line', { hasText: 'noise-unlike:' }).waitFor();
    await editor.screenshot('reading-problems');
  });

  test('the way of the signal is told part by part, outward and back', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.openFile(board());
    await editor.goTo(...behind('R3.2 R5.1 J1.tip'));
    await editor.command('Calls: Show Call Hierarchy');
    const back = await followCalls(editor, /output AOUTL/);
    await editor.screenshot('reading-path-back');
    expect(back.join('\n')).toMatch(/^J1\.tip.*\n.*−0\.1\d? dB, through R3.*\n.*0 dB, through C9.*output AOUTL/);
    await editor.openFile(board());
    await editor.goTo(...behind('U1.AOUTL'));
    await editor.command('Calls: Show Call Hierarchy');
    await editor.command('Calls: Show Outgoing Calls');
    const onward = await followCalls(editor, /J1\.tip/);
    await editor.screenshot('reading-path-onward');
    expect(onward.join('\n')).toMatch(/^U1\.AOUTL.*\n.*0 dB, through C9.*\nJ1\.tip.*−0\.1\d? dB, through R3/);
    await editor.command('View: Show Explorer');
  });

  test('from a pin to its data sheet, and from a net to all its places', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.openFile(board());
    await editor.goTo(...behind('U1.AOUTL'));
    await follow(editor, 'F12', 'pwl6203d.pinout');
    await editor.openFile(board());
    await editor.goTo(...behind('J1.tip OUT_L'));
    const places = await peeked(editor, 'Shift+F12', /OUT_L: 1 mV/);
    await editor.screenshot('reading-references');
    expect(places.filter((place) => place.includes('channels: { 1: OUT_L'))).toHaveLength(4);
  });

  test('an outline of the board leads to a part', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.openFile(board());
    await goToSymbol(editor, 'FB1');
    await editor.page.locator('.statusbar-item', { hasText: 'Ln 15,' }).waitFor();
  });

  test('a net gets another name wherever it is written', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    const text =
      'board: Renamed\ntraces:\n  buzzed: [J1.tip OUT_L]\nparts: {J1: {style: jack-trs}}\nnets:\n  OUT_L: {role: audio-out}\nreadings:\n  - OUT_L: 1 mV\n';
    const path = await layFile(bench(), 'renamed.board.yaml', text);
    await goBehind(editor, text, 'J1.tip OUT_L');
    expect(await rename(editor, 'LEFT')).toBe('OUT_L');
    await editor.waitForText(/- LEFT: 1 mV/);
    await editor.screenshot('reading-rename');
    expect(await saved(bench(), path)).toBe(text.replaceAll('OUT_L', 'LEFT'));
  });

  test('a pin gets another name in its pinout and on the board', { timeout: 3 * patience }, async () => {
    const { folder, editor } = bench();
    const pinout = 'pinout: tiny5\npins:\n  1: VDD\n  2: GND\n  3: SHDN\n';
    const text = 'board: Pinned\nparts:\n  U9: {pinout: tiny5}\ntraces:\n  buzzed:\n    - U9.SHDN U9.VDD\n';
    writeFileSync(join(folder, 'tiny5.pinout.yaml'), pinout);
    const path = await layFile(bench(), 'pinned.board.yaml', text);
    await goBehind(editor, text, 'U9.SHDN');
    expect(await rename(editor, 'STBY')).toMatch(/SHDN$/);
    await editor.waitForText(/U9\.STBY U9\.VDD/);
    expect(await saved(bench(), path)).toBe(text.replace('SHDN', 'STBY'));
    const sheet = join(folder, 'tiny5.pinout.yaml');
    await editor.openFile(sheet);
    await editor.waitForText(/3: STBY/);
    expect(await saved(bench(), sheet)).toBe(pinout.replace('SHDN', 'STBY'));
  });

  test('nothing has failed on the way', async () => {
    expect(await bench().editor.notifications()).toEqual([]);
  });
});
