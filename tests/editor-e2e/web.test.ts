import { rmSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { boardName, layBench } from './bench';
import { EditorPage, startBrowser } from './editor-page';
import type { Server } from './server';
import { startWebEditor } from './web-editor';

// The web bundles in the oldest workbench supported: no Node anywhere, recordings read through the client.
describe.skipIf(outside.missing('chromium', 'web-editor'))('in a web editor', () => {
  const folder = layBench();
  let server: Server;
  let browser: Browser;
  let editor: EditorPage;

  beforeAll(async () => {
    server = await startWebEditor(folder);
    browser = await startBrowser();
    editor = await EditorPage.open(browser, server.base);
  });
  afterAll(async () => {
    await editor?.screenshot('web-last');
    await browser?.close();
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  test('the server answers with what the recording shows', async () => {
    await editor.openFromExplorer(boardName);
    await editor.waitForMark('tone-both', 'warning');
    expect(await editor.hover('tone-both', 'tone-both')).toMatch(/antiphase/i);
  });

  test('a pin tells what it is', async () => {
    expect(await editor.hover('- U1.DACL', 'U1.DACL')).toContain('DACL');
  });
});
