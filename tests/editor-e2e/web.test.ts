import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { bench } from './bench';
import { behind, boardName } from './demo';
import { EditorPage, patience } from './editor-page';
import { act, goBehind, rename } from './gestures';
import { startWebEditor } from './web-editor';

const kiosk = `board: Kiosk amplifier
parts:
  U1: {pinout: pwl6203}
  C7: 22 uF 6.3 V
traces:
  buzzed:
    - U1.AOUTL C7.+
    - C7.- OUT_L
    - U1.AVSS GND
nets:
  GND: {role: ground}
  OUT_L: {role: audio-out}
  VREG: {role: suply, volts: 3.3 V}
`;

// The web bundles in the oldest workbench supported: no Node anywhere, recordings read through the client.
describe.skipIf(outside.missing('chromium', 'web-editor'))('the demo in a web editor', () => {
  const web = bench(
    'web',
    (folder) => writeFileSync(join(folder, 'kiosk.board.yaml'), kiosk),
    async (folder, browser) => {
      const server = await startWebEditor(folder);
      return { server, editor: await EditorPage.open(browser, server.base) };
    },
  );

  test('findings from recordings are marked, told and listed', { timeout: 3 * patience }, async () => {
    const { editor } = web();
    await editor.openFromExplorer(boardName);
    await editor.serverAnswers();
    await editor.goTo(...behind('noise-unlike'));
    await editor.waitForMark('noise-unlike', 'warning');
    expect(await editor.hover('noise-unlike', 'noise-unlike', /antiphase/)).toMatch(/antiphase.*180\.0°/s);
    await editor.screenshot('web-finding');
    expect((await editor.problems()).join('\n')).toContain('channels-antiphase');
  });

  test('a pin tells what it is', { timeout: 3 * patience }, async () => {
    const { editor } = web();
    await editor.openFromExplorer(boardName);
    await editor.serverAnswers();
    await editor.goTo(...behind('U1.AOUTL'));
    expect(await editor.hover('- U1.AOUTL', 'U1.AOUTL', /AOUTL/)).toContain('left');
  });

  test('a page about the board opens beside it, the next in the same place', { timeout: 3 * patience }, async () => {
    const { editor } = web();
    await editor.openFromExplorer(boardName);
    await editor.serverAnswers();
    await editor.command('Buzzout: Ask what explains this board');
    await editor.tab('Diagnosis handset-hollow.md');
    await editor.openFromExplorer(boardName);
    await editor.command('Buzzout: Show the copper of this board');
    await editor.tab('Copper map handset-hollow.md');
    await editor.screenshot('web-page');
    expect(await editor.page.locator('.editor-group-container').count()).toBe(2);
    expect(await editor.notifications()).toEqual([]);
    await editor.press('Control+1');
  });

  test('a slip is mended from the bulb', { timeout: 3 * patience }, async () => {
    const { editor } = web();
    await editor.openFromExplorer('kiosk.board.yaml');
    await editor.waitForMark('suply', 'error');
    await goBehind(editor, kiosk, 'role: sup');
    await act(editor, 'Write `supply`');
    await editor.waitForText(/role: supply/);
    await editor.waitForMark('role: supply', 'error', false);
    await editor.screenshot('web-mended');
  });

  test('a net gets another name wherever it is written', { timeout: 3 * patience }, async () => {
    const { editor } = web();
    await editor.openFromExplorer('kiosk.board.yaml');
    await editor.waitForText(/OUT_L/);
    await goBehind(editor, kiosk, 'C7.- OUT_L');
    expect(await rename(editor, 'LEFT')).toBe('OUT_L');
    await editor.waitForText(/- C7\.- LEFT.*LEFT: {role: audio-out}/s);
  });

  test('pins are offered behind a part', { timeout: 3 * patience }, async () => {
    const { editor } = web();
    await editor.openFromExplorer('kiosk.board.yaml');
    await goBehind(editor, kiosk, '- U1.AVSS GND');
    await editor.press('Enter');
    await editor.type('- U1.');
    await editor.waitForSuggestion('U1.');
    await editor.screenshot('web-completion');
    await editor.type('TES');
    await editor.waitForSuggestion('U1.TEST');
    await editor.takeSuggestion('- U1.TES', /^\s*- U1\.TEST$/);
    expect(await editor.notifications()).toEqual([]);
  });
});
