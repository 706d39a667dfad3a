import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { desktopBench } from './bench';
import { boardName } from './demo';
import { patience } from './editor-page';
import { answer, answerFolder, choose } from './gestures';
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
});
