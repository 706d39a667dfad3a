import { rmSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { behind, boardName, layDemo } from './demo';
import { EditorPage, startBrowser } from './editor-page';
import type { Server } from './server';
import { startWebEditor } from './web-editor';

// The web bundles in the oldest workbench supported: no Node anywhere, recordings read through the client.
describe.skipIf(outside.missing('chromium', 'web-editor'))('the demo in a web editor', () => {
  let folder: string;
  let server: Server;
  let browser: Browser;
  let editor: EditorPage;

  beforeAll(async () => {
    folder = layDemo();
    server = await startWebEditor(folder);
    browser = await startBrowser();
    editor = await EditorPage.open(browser, server.base);
  });
  afterAll(async () => {
    await editor?.screenshot('web-last');
    await browser?.close();
    await server?.stop();
    if (folder) rmSync(folder, { recursive: true, force: true });
  });

  test('the server answers with what the recordings show', async () => {
    await editor.openFromExplorer(boardName);
    await editor.serverAnswers();
    await editor.goTo(...behind('noise-unlike'));
    await editor.waitForMark('noise-unlike', 'warning');
    expect(await editor.hover('noise-unlike', 'noise-unlike')).toMatch(/antiphase.*180\.0°/s);
  });

  test('a pin tells what it is', async () => {
    await editor.goTo(...behind('U1.AOUTL'));
    expect(await editor.hover('- U1.AOUTL', 'U1.AOUTL')).toContain('AOUTL');
    expect(await editor.notifications()).toEqual([]);
  });
});
