import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { outside } from '../harness/outside';
import { desktopBench } from './bench';
import { behind, boardName } from './demo';
import { type EditorPage, patience, plain } from './editor-page';

/** The heading of the page beside, once it is the one wanted. */
async function pageBeside(editor: EditorPage, wanted: RegExp) {
  const page = editor.page.frameLocator('iframe.webview.ready').last().frameLocator('iframe#active-frame');
  const heading = page.locator('h1');
  let last = '';
  await editor.until(
    () => `the page beside is never ${wanted}: ${last}`,
    async () => {
      last = (await heading.isVisible()) ? plain((await heading.textContent()) ?? '') : '';
      return wanted.test(last);
    },
  );
  return page;
}

/** Tries between two clicks: one that falls on a line just being asked for anew is lost, and a user clicks again. */
const triesPerClick = 80;

/** The page that a line above the text opens. */
async function pageOf(editor: EditorPage, line: string, wanted: RegExp) {
  const page = editor.page.frameLocator('iframe.webview.ready').last().frameLocator('iframe#active-frame');
  let tries = 0;
  await editor.until(`"${line}" never opens ${wanted}`, async () => {
    if (tries++ % triesPerClick === 0)
      await editor.page.locator('.codelens-decoration a', { hasText: line }).first().click();
    const heading = page.locator('h1');
    return (await heading.isVisible()) && wanted.test(plain((await heading.textContent()) ?? ''));
  });
  return page;
}

/** What is told, but for what the workbench itself says of a click on a line that it was just asking for anew. */
const told = async (editor: EditorPage) =>
  (await editor.notifications()).filter((one) => !/^Actual command not found, wanted to execute buzzout\./.test(one));

// Pictures and pages in the real editor: what the workbench really renders of them.
describe.skipIf(outside.missing('chromium', 'editor'))('pictures and pages in the real editor', () => {
  const bench = desktopBench('pages', boardName);

  test('a recording is drawn in its hover, and in that of a net it was taken at', {
    timeout: 4 * patience,
  }, async () => {
    const { editor } = bench();
    const pictures = editor.page.locator('.monaco-hover img[src^="data:image/svg"]');
    /** Points again until the picture is there: one that comes too late for a hover stands in the next. */
    const drawnAt = (line: string, word: string, said: RegExp) =>
      editor.until(`no picture in the hover of ${word}`, async () => {
        await editor.hover(line, word, said);
        const picture = pictures.first();
        if (!(await picture.isVisible())) return false;
        // The width of the picture itself: one that the editor refuses has none.
        const width = await picture.evaluate((one) => (one as unknown as { naturalWidth: number }).naturalWidth);
        return width === 380;
      });
    await editor.goTo(...behind('tone-left'));
    await drawnAt('tone-left', 'tone-left', /THD/);
    await editor.screenshot('pages-hover-recording');
    await editor.goTo(...behind('R3.2 R5.1 J1.tip'));
    await drawnAt('- R3.2', 'OUT_L', /capture tone-left/);
    await editor.screenshot('pages-hover-net');
  });

  test('what stands above the board opens its diagnosis and its copper beside', { timeout: 4 * patience }, async () => {
    const { editor } = bench();
    await editor.goTo(...behind('board: Tidemill'));
    // Once causes are worked out nothing more comes by itself, and the lines stay as they are.
    await editor.page.locator('.codelens-decoration', { hasText: '2 findings' }).waitFor();
    const copper = await pageOf(editor, 'Copper map', /^Copper map: Tidemill/);
    expect(plain((await copper.locator('body').textContent()) ?? '')).toMatch(/GND ━━ BT1\.-.*R3\.2/s);
    await editor.screenshot('pages-copper');
    const diagnosis = await pageOf(editor, 'Diagnose', /^Diagnosis: Tidemill/);
    expect(plain((await diagnosis.locator('body').textContent()) ?? '')).toContain('mode differential');
    await editor.screenshot('pages-diagnosis');
    expect(await told(editor)).toEqual([]);
  });

  test('a page asked for from its own column comes there, and opens no third', {
    timeout: 4 * patience,
  }, async () => {
    const { folder, editor } = bench();
    await editor.press('Control+2');
    await editor.openFile(join(folder, 'handset-unmarked.board.yaml'));
    await editor.command('Buzzout: Show the copper of this board');
    await pageBeside(editor, /^Copper map: /);
    await editor.screenshot('pages-second-column');
    expect(await editor.page.locator('.editor-group-container').count()).toBe(2);
    expect(await told(editor)).toEqual([]);
  });

  test('every board of the workspace is checked at a command', { timeout: 3 * patience }, async () => {
    const { editor } = bench();
    await editor.command('Buzzout: Check every board in the workspace');
    let said: string[] = [];
    await editor.until(
      () => `it is never told how many: ${said}`,
      async () => {
        said = await editor.notifications();
        return said.some((one) => /1 warning.* on 3 boards/.test(one));
      },
    );
  });
});
