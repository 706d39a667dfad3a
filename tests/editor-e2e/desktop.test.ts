import { describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { desktopBench } from './bench';
import { behind, boardName, record } from './demo';
import { patience } from './editor-page';

// The packed extension, installed in the real editor, driven as by hand in headless Chromium. One story, told in order.
describe.skipIf(outside.missing('chromium', 'editor'))('the demo in the real editor', () => {
  const bench = desktopBench('desktop', boardName);

  test('a pin tells what it is', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.goTo(...behind('U1.AOUTL'));
    const said = await editor.hover('- U1.AOUTL', 'U1.AOUTL', /AOUTL/);
    await editor.screenshot('desktop-hover');
    expect(said).toContain('AOUTL');
    expect(said).toContain('left');
  });

  test('the finding lies under the recording that shows it, with its figures', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.goTo(...behind('noise-unlike'));
    await editor.waitForMark('noise-unlike', 'warning');
    const said = await editor.hover('noise-unlike', 'noise-unlike', /antiphase.*180\.0°/s);
    await editor.screenshot('desktop-finding');
    expect(said).toMatch(/antiphase.*phase.*180\.0°.*correlation.*−1\.00.*dBV/s);
    expect(await editor.marksUnder('ground-lead')).toEqual([]);
    expect(await editor.status()).toMatch(/^1 warning/);
  });

  test('a slip is marked as it is typed and cleared as it is mended, and the other finding never flickers', {
    timeout: 3 * patience,
  }, async () => {
    const { editor } = bench();
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

  test('recordings saved by another program re-check the board that uses them', { timeout: 3 * patience }, async () => {
    const { folder, editor } = bench();
    record(folder, 'healthy');
    await editor.waitForMark('noise-unlike', 'warning', false);
    record(folder, 'hollow');
    await editor.waitForMark('noise-unlike', 'warning');
  });

  test('the server can be started again, and nothing has failed on the way', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.command('Buzzout: Start the language server again');
    await editor.waitForMark('noise-unlike', 'warning');
    expect((await editor.problems()).join('\n')).toContain('channels-antiphase');
    await editor.screenshot('desktop-problems');
    expect(await editor.notifications()).toEqual([]);
  });

  test('pin names are offered behind a part, on a line that is not finished', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.goTo(...behind('U1.MODE R7.1'));
    await editor.press('Enter');
    await editor.type('- U1.');
    await editor.waitForSuggestion('U1.');
    expect((await editor.suggestions()).every((label) => label.startsWith('U1.'))).toBe(true);
    await editor.screenshot('desktop-completion');
    await editor.type('TES');
    await editor.waitForSuggestion('U1.TEST');
    await editor.takeSuggestion('- U1.TES', /^\s*- U1\.TEST$/);
    expect(await editor.notifications()).toEqual([]);
  });
});
