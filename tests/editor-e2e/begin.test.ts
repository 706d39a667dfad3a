import { existsSync, readFileSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { packVsix } from '../harness/vsix';
import { boardName, layDemo } from './demo';
import { type Desktop, startDesktop } from './desktop';
import { EditorPage, startBrowser } from './editor-page';
import { freshFolder } from './server';

// How a new user begins: the walkthrough, the demo laid into a folder, a board of one's own.
describe.skipIf(outside.missing('chromium', 'editor'))('beginning in the real editor', () => {
  let folder: string;
  let bench: string;
  let desktop: Desktop;
  let browser: Browser;
  let editor: EditorPage;

  beforeAll(async () => {
    folder = layDemo();
    bench = freshFolder('bench');
    const vsix = packVsix();
    desktop = await startDesktop(vsix, folder);
    rmSync(dirname(vsix), { recursive: true });
    browser = await startBrowser();
    editor = await EditorPage.open(browser, desktop.url(boardName));
    await editor.serverAnswers();
  });
  afterAll(async () => {
    await editor?.screenshot('begin-last');
    await browser?.close();
    await desktop?.stop();
    for (const one of [folder, bench]) if (one) rmSync(one, { recursive: true, force: true });
  });

  test('the demo is copied where the user wants it, and its fault is found there', async () => {
    await editor.command('Buzzout: Open the demo board');
    await editor.answer(`${bench}/`);
    await editor.tab(boardName);
    await editor.serverAnswers();
    expect(existsSync(join(bench, 'tidemill/captures/hollow-unlike.wav'))).toBe(true);
    expect((await editor.problems()).join('\n')).toContain('channels-antiphase');
    expect(await editor.notifications()).toEqual([]);
  });

  test('a new board is begun with places to fill in', async () => {
    await editor.command('Buzzout: Describe a new board');
    await editor.answer('radio');
    await editor.tab('radio.board.yaml');
    expect(await editor.textOf('board:')).toBe('board: radio');
    await editor.type('Kitchen radio');
    expect(await editor.textOf('board:')).toBe('board: Kitchen radio');
    await editor.screenshot('begin-board');
    const made = [folder, bench, join(bench, 'tidemill')].map((top) => join(top, 'radio.board.yaml')).find(existsSync);
    expect(readFileSync(made!, 'utf8')).toBe('');
    expect(await editor.notifications()).toEqual([]);
  });

  test('the walkthrough shows each step with its page', async () => {
    await editor.command('Welcome: Open Walkthrough...');
    await editor.answer('From the demo to your first board');
    const steps = await editor.walkthroughSteps();
    await editor.screenshot('begin-walkthrough');
    expect(steps).toEqual([
      'Open the demo',
      'See what was found',
      'Ask about a pin',
      'Describe a chip of yours',
      'Describe a board of yours',
      'Lay in a recording',
    ]);
  });
});
