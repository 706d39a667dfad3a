import { rmSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { packVsix } from '../harness/vsix';
import { boardName, layBench, record } from './bench';
import { type Desktop, startDesktop } from './desktop';
import { EditorPage, startBrowser } from './editor-page';

// The packed extension, installed in the real editor, driven as by hand in headless Chromium. One story, told in order.
describe.skipIf(outside.missing('chromium', 'editor'))('in the real editor', () => {
  const folder = layBench();
  let desktop: Desktop;
  let browser: Browser;
  let editor: EditorPage;

  beforeAll(async () => {
    const vsix = packVsix();
    desktop = await startDesktop(vsix, folder);
    rmSync(dirname(vsix), { recursive: true });
    browser = await startBrowser();
    editor = await EditorPage.open(browser, desktop.url(boardName));
  });
  afterAll(async () => {
    await editor?.screenshot('desktop-last');
    await browser?.close();
    await desktop?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  test('the finding lies under the recording that shows it, with its figures', async () => {
    await editor.waitForMark('tone-both', 'warning');
    expect(await editor.hover('tone-both', 'tone-both')).toMatch(/antiphase/i);
    await editor.screenshot('desktop-finding');
    expect(await editor.marksUnder('board: Hall')).toEqual([]);
    expect(await editor.status()).toBe('1 warning');
  });

  test('a pin tells what it is', async () => {
    const said = await editor.hover('- U1.DACL', 'U1.DACL');
    await editor.screenshot('desktop-hover');
    expect(said).toContain('DACL');
    expect(said).toMatch(/left/);
  });

  test('typing a slip marks it and mending it clears the mark, and the other finding never flickers', async () => {
    await editor.cursorToEndOf('C7: 22 uF');
    const fewest = await editor.fewestMarksDuring(async () => {
      await editor.type(' 3 Hz');
      await editor.waitForMark('C7: 22 uF', 'error');
    });
    expect(fewest).toBeGreaterThan(0);
    await editor.screenshot('desktop-slip');
    for (const _ of ' 3 Hz') await editor.press('Backspace');
    await editor.waitForMark('C7: 22 uF', 'error', false);
  });

  test('pin names are offered behind a part, on a line that is not finished', async () => {
    await editor.cursorToEndOf('J2.ring OUT_R');
    await editor.press('Enter');
    await editor.type('- U1.');
    const offered = await editor.suggestions();
    await editor.screenshot('desktop-completion');
    expect(offered).toEqual(expect.arrayContaining([expect.stringContaining('DACR')]));
    await editor.type('DACR');
    await editor.press('Tab');
    await editor.press('Escape');
    expect(await editor.textOf('DACR')).toMatch(/- U1\.DACR$/);
  });

  test('a recording saved by another program re-checks the board that uses it', async () => {
    record(folder, 0);
    await editor.waitForMark('tone-both', 'warning', false);
    record(folder, 180);
    await editor.waitForMark('tone-both', 'warning');
  });

  test('the server can be started again', async () => {
    await editor.command('Buzzout: Start the language server again');
    await editor.waitForMark('tone-both', 'warning');
    expect((await editor.problems()).join('\n')).toContain('channels-antiphase');
    await editor.screenshot('desktop-problems');
  });
});
