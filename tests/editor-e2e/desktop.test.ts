import { rmSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { packVsix } from '../harness/vsix';
import { behind, boardName, layDemo, record } from './demo';
import { type Desktop, startDesktop } from './desktop';
import { EditorPage, startBrowser } from './editor-page';

// The packed extension, installed in the real editor, driven as by hand in headless Chromium. One story, told in order.
describe.skipIf(outside.missing('chromium', 'editor'))('the demo in the real editor', () => {
  let folder: string;
  let desktop: Desktop;
  let browser: Browser;
  let editor: EditorPage;

  beforeAll(async () => {
    folder = layDemo();
    const vsix = packVsix();
    desktop = await startDesktop(vsix, folder);
    rmSync(dirname(vsix), { recursive: true });
    browser = await startBrowser();
    editor = await EditorPage.open(browser, desktop.url(boardName));
    await editor.serverAnswers();
  });
  afterAll(async () => {
    await editor?.screenshot('desktop-last');
    await browser?.close();
    await desktop?.stop();
    if (folder) rmSync(folder, { recursive: true, force: true });
  });

  test('a pin tells what it is', async () => {
    await editor.goTo(...behind('U1.AOUTL'));
    const said = await editor.hover('- U1.AOUTL', 'U1.AOUTL', /AOUTL/);
    await editor.screenshot('desktop-hover');
    expect(said).toContain('AOUTL');
    expect(said).toContain('left');
  });

  test('the finding lies under the recording that shows it, with its figures', async () => {
    await editor.goTo(...behind('noise-unlike'));
    await editor.waitForMark('noise-unlike', 'warning');
    const said = await editor.hover('noise-unlike', 'noise-unlike', /antiphase.*180\.0°/s);
    await editor.screenshot('desktop-finding');
    expect(said).toMatch(/antiphase.*phase.*180\.0°.*correlation.*−1\.00.*dBV/s);
    expect(await editor.marksUnder('ground-lead')).toEqual([]);
    expect(await editor.status()).toMatch(/^1 warning/);
  });

  test('a slip is marked as it is typed and cleared as it is mended, and the other finding never flickers', async () => {
    await editor.goTo(...behind('noise: pink, side: unlike, level: -18 dBFS'));
    const fewest = await editor.fewestMarksDuring(async () => {
      await editor.type('x');
      await editor.waitForMark('noise: pink', 'error');
      await editor.screenshot('desktop-slip');
      await editor.press('Backspace');
      await editor.waitForMark('noise: pink', 'error', false);
    });
    expect(fewest).toBeGreaterThan(0);
    await editor.waitForMark('noise-unlike', 'warning');
  });

  test('recordings saved by another program re-check the board that uses them', async () => {
    record(folder, 'healthy');
    await editor.waitForMark('noise-unlike', 'warning', false);
    record(folder, 'hollow');
    await editor.waitForMark('noise-unlike', 'warning');
  });

  test('the server can be started again, and nothing has failed on the way', async () => {
    await editor.command('Buzzout: Start the language server again');
    await editor.waitForMark('noise-unlike', 'warning');
    expect((await editor.problems()).join('\n')).toContain('channels-antiphase');
    await editor.screenshot('desktop-problems');
    expect(await editor.notifications()).toEqual([]);
  });

  test('pin names are offered behind a part, on a line that is not finished', async () => {
    await editor.goTo(...behind('U1.MODE R7.1'));
    await editor.press('Enter');
    await editor.type('- U1.');
    await editor.waitForSuggestion('U1.1');
    expect((await editor.suggestions()).every((label) => label.startsWith('U1.'))).toBe(true);
    await editor.screenshot('desktop-completion');
    await editor.type('TES');
    await editor.waitForSuggestion('U1.TEST');
    await editor.takeSuggestion('- U1.TES', /^\s*- U1\.TEST$/);
    expect(await editor.notifications()).toEqual([]);
  });
});
