import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { desktopBench } from './bench';
import { saved } from './boards';
import { boardName } from './demo';
import { type EditorPage, patience } from './editor-page';
import { answer, answerFolder, answerQuestion, choose, followCalls, pressStep } from './gestures';
import { freshFolder } from './server';

// How a new user begins: the walkthrough, the demo laid into a folder, a board of one's own.
describe.skipIf(outside.missing('chromium', 'editor'))('beginning in the real editor', () => {
  const target = freshFolder('bench');
  mkdirSync(join(target, 'takes'));
  const bench = desktopBench('begin', 'handset-unmarked.board.yaml');
  afterAll(() => rmSync(target, { recursive: true, force: true }));

  test('the demo is copied where the user wants it, and its fault is found there', {
    timeout: 3 * patience,
  }, async () => {
    const { editor } = bench();
    await editor.command('Buzzout: Open the demo board');
    await answerFolder(editor, `${target}/`, 'takes');
    await editor.tab(boardName);
    await editor.serverAnswers();
    expect(existsSync(join(target, 'tidemill/captures/hollow-unlike.wav'))).toBe(true);
    await editor.screenshot('begin-question');
    await answerQuestion(editor, /Explorer does not show/, 'Not now');
    expect((await editor.problems()).join('\n')).toContain('channels-antiphase');
    expect(await editor.notifications()).toEqual([]);
  });

  test('a new board is begun with places to fill in', { timeout: 3 * patience }, async () => {
    const { folder, editor } = bench();
    await editor.command('Buzzout: Describe a new board');
    await answer(editor, 'radio');
    await editor.tab('radio.board.yaml');
    await editor.waitForText(/^board: radio$/m);
    await editor.type('Kitchen radio');
    await editor.waitForText(/^board: Kitchen radio$/m);
    await editor.screenshot('begin-board');
    const made = [folder, target, join(target, 'tidemill')]
      .map((top) => join(top, 'radio.board.yaml'))
      .find(existsSync);
    expect(readFileSync(made!, 'utf8')).toBe('');
    expect(await editor.notifications()).toEqual([]);
  });

  test('the walkthrough shows each step with its page', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.command('Welcome: Open Walkthrough...');
    await choose(editor, 'From the demo to your first board');
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

  test('its steps find the demo behind it: what explains the board, and where the signal goes', {
    timeout: 4 * patience,
  }, async () => {
    const { editor } = bench();
    await editor.command('Welcome: Open Walkthrough...');
    await choose(editor, 'From the demo to your first board');
    await pressStep(editor, 'Ask about a pin', 'Follow the signal');
    const onward = await followCalls(editor, /J1\.tip/);
    await editor.screenshot('begin-signal');
    expect(onward.join('\n')).toMatch(/^U1\.AOUTL.*\n.*through C9.*\nJ1\.tip/);
    await editor.tab(boardName);
    await editor.command('Welcome: Open Walkthrough...');
    await choose(editor, 'From the demo to your first board');
    const done = editor.page.locator('.getting-started-step', { hasText: 'Ask about a pin' });
    await done.locator('.codicon-getting-started-step-checked').waitFor();
    await pressStep(editor, 'See what was found', 'Ask what explains this board');
    const page = editor.page.frameLocator('iframe.webview.ready').last().frameLocator('iframe#active-frame');
    await page.locator('h1', { hasText: 'Diagnosis: Tidemill' }).waitFor();
    await editor.screenshot('begin-explained');
    expect(await editor.notifications()).toEqual([]);
  });

  test('in an empty window a new board is kept where the user says, under its name and without a finding', {
    timeout: 4 * patience,
  }, async () => {
    const { editor } = bench();
    await emptyWindow(editor);
    await editor.command('Buzzout: Describe a new board');
    await answer(editor, 'kiosk');
    await answerFolder(editor, `${target}/`, 'takes');
    await editor.tab('kiosk.board.yaml');
    await editor.waitForText(/^board: kiosk$/m);
    await editor.waitForStatus(/nothing found/);
    await editor.screenshot('begin-empty');
    expect(await saved(bench(), join(target, 'kiosk.board.yaml'))).toMatch(/^board: kiosk$/m);
    expect(await editor.notifications()).toEqual([]);
  });

  test('in an empty window the folder of the demo is opened at a yes, its board with it', {
    timeout: 4 * patience,
  }, async () => {
    const { editor } = bench();
    await emptyWindow(editor);
    await editor.command('Buzzout: Open the demo board');
    await answerFolder(editor, `${target}/`, 'takes');
    await answerQuestion(editor, /Explorer does not show/, 'Open its folder');
    await editor.page.locator('.explorer-folders-view .monaco-list-row', { hasText: 'sheets' }).waitFor();
    await editor.tab(boardName);
    await editor.waitForStatus(/^1 warning/);
    await editor.screenshot('begin-opened');
    expect(await editor.notifications()).toEqual([]);
  });
});

/** Leaves the folder for a window without one. */
async function emptyWindow({ page }: EditorPage): Promise<void> {
  await page.goto(`${new URL(page.url()).origin}/?ew=true`);
  await page.locator('.monaco-workbench').waitFor();
}
