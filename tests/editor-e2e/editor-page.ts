import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Locator, type Page } from 'playwright-core';
import { root } from '../harness/tools';

const flags = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking'];
const moreFlags = ['--disable-component-update', '--disable-sync'];

export const startBrowser = (): Promise<Browser> =>
  chromium.launch({ executablePath: '/usr/bin/chromium', args: [...flags, ...moreFlags] });

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export type Mark = 'error' | 'warning' | 'info' | 'hint';

/** The workbench as a person at a bench uses it: looks at squiggles, points at words, types, reads the Problems view. */
export class EditorPage {
  private constructor(private readonly page: Page) {}

  static async open(browser: Browser, url: string): Promise<EditorPage> {
    const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
    page.setDefaultTimeout(45_000);
    await page.addInitScript({ path: join(root, 'tests/editor-e2e/in-page.js') });
    await page.goto(url);
    await page.locator('.monaco-workbench').waitFor();
    return new EditorPage(page);
  }

  /** Waits until the server has answered for the file in front: what is asked of it before goes unanswered. */
  async serverAnswers(): Promise<void> {
    await this.page.locator('.statusbar-item[id*="buzzout"]', { hasText: /nothing found|\d/ }).waitFor();
  }

  /** Opens a file of the top folder by its row in the explorer. */
  async openFromExplorer(name: string): Promise<void> {
    await this.page.locator('.explorer-folders-view .monaco-list-row', { hasText: name }).dblclick();
  }

  /** The first line on screen that holds a text. */
  line(text: string): Locator {
    return this.page.locator('.monaco-editor .view-line', { hasText: text }).first();
  }

  /** The whole first line on screen that holds a text. */
  async textOf(text: string): Promise<string> {
    return plain((await this.line(text).textContent()) ?? '');
  }

  /** Which kinds of squiggle lie under the line that holds a text. */
  marksUnder(text: string): Promise<Mark[]> {
    return this.inPage('marksUnder', text);
  }

  /** Waits until a kind of squiggle lies, or lies no more, under the line that holds a text. */
  async waitForMark(text: string, kind: Mark, there = true): Promise<void> {
    const until = Date.now() + 45_000;
    while ((await this.marksUnder(text)).includes(kind) !== there) {
      if (Date.now() > until) throw new Error(`${there ? 'no' : 'still a'} ${kind} under "${text}"`);
      await this.page.waitForTimeout(100);
    }
  }

  /** What the editor says when the mouse rests on a word of a line, once it says what is wanted: lines still move while it measures. */
  async hover(lineText: string, word: string, wanted = /\S/): Promise<string> {
    let last = '';
    const rows = this.page.locator('.monaco-hover:not(.hidden) .hover-row');
    for (let tries = 0; tries < 15; tries++) {
      // A hover still up from before would answer for this one.
      await this.page.mouse.move(5, 600);
      await this.press('Escape');
      await rows.first().waitFor({ state: 'hidden' });
      // Measured on each try: lines above recordings move the text when they come.
      const box = await this.wordBox(lineText, word);
      await this.page.mouse.move(box.x + box.width / 2, box.y + box.height / 2, { steps: 8 });
      for (let waits = 0; waits < 30; waits++) {
        const said = plain((await rows.allInnerTexts()).join('\n'));
        if (wanted.test(said) && !said.includes('Loading...')) return said;
        if (said !== '') last = said;
        await this.page.waitForTimeout(100);
      }
    }
    throw new Error(`on "${word}" in the line with "${lineText}" is said: ${last || 'nothing'}`);
  }

  /** Takes the suggestion in front, once the editor takes it: a list that is being made anew lets the key pass. */
  async takeSuggestion(lineText: string, wanted: RegExp): Promise<void> {
    for (let tries = 0; tries < 20; tries++) {
      if (await this.page.locator('.suggest-widget.visible').isVisible()) await this.press('Tab');
      await this.page.waitForTimeout(300);
      if (wanted.test(await this.textOf(lineText))) return;
    }
    throw new Error(`the line stays "${await this.textOf(lineText)}"`);
  }

  /** Puts the cursor at a line and column, both from 1, and the line in the middle of the screen. */
  async goTo(line: number, column: number): Promise<void> {
    await this.page.locator('.monaco-editor .view-line').first().waitFor();
    await this.press('Control+G');
    const input = this.page.locator('.quick-input-widget input[type=text]');
    await input.fill(`:${line}:${column}`);
    await this.press('Enter');
    await input.waitFor({ state: 'hidden' });
  }

  type(text: string): Promise<void> {
    return this.page.keyboard.type(text, { delay: 30 });
  }

  async press(key: string, times = 1): Promise<void> {
    for (let done = 0; done < times; done++) await this.page.keyboard.press(key);
  }

  /** The labels offered where the cursor is. */
  async suggestions(): Promise<string[]> {
    const rows = this.page.locator('.suggest-widget.visible .monaco-list-row .label-name');
    if (!(await rows.first().isVisible())) await this.press('Control+Space');
    await rows.first().waitFor();
    return (await rows.allInnerTexts()).map(plain);
  }

  /** Waits until a label leads the list of what is offered, so that Tab takes it. */
  async waitForSuggestion(label: string): Promise<void> {
    await this.page.locator('.suggest-widget.visible .monaco-list-row.focused', { hasText: label }).waitFor();
  }

  /** Runs a command by its title in the command palette. */
  async command(title: string): Promise<void> {
    await this.press('F1');
    await this.page.locator('.quick-input-widget input[type=text]').fill(`>${title}`);
    await this.page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first().waitFor();
    await this.press('Enter');
  }

  /** Answers the box that asks for something at the top, once it is there. */
  async answer(text: string): Promise<void> {
    const input = this.page.locator('.quick-input-widget input[type=text]');
    // The palette that the command was picked from stands in the same box until the question comes.
    while (!(await input.isVisible()) || (await input.inputValue()).startsWith('>'))
      await this.page.waitForTimeout(100);
    // A box that is still being filled by the editor takes what is typed back; and a folder may want a second Enter.
    for (let tries = 0; tries < 5; tries++) {
      if (!(await input.isVisible())) return;
      if ((await input.inputValue()) !== text) await input.fill(text);
      await this.page.waitForTimeout(700);
      if (!(await input.isVisible()) || (await input.inputValue()) !== text) continue;
      await this.press('Enter');
      await this.page.waitForTimeout(700);
    }
  }

  /** Waits for the tab of a file in front. */
  async tab(name: string): Promise<void> {
    await this.page.locator('.tab.active', { hasText: name }).waitFor();
  }

  /** The titles of the steps of the walkthrough in front. */
  async walkthroughSteps(): Promise<string[]> {
    const titles = this.page.locator('.gettingStartedContainer .step-title');
    await titles.first().waitFor();
    return (await titles.allInnerTexts()).map(plain);
  }

  /** The rows of the Problems view: files, findings and their related places. */
  async problems(): Promise<string[]> {
    await this.command('Problems: Focus on Problems View');
    await this.page.locator('.markers-panel .monaco-list-row').first().waitFor();
    return (await this.page.locator('.markers-panel .monaco-list-row').allInnerTexts()).map(plain);
  }

  /** What pops up in the corner: a server that fails says so there. */
  async notifications(): Promise<string[]> {
    return (await this.page.locator('.notification-toast').allInnerTexts()).map(plain);
  }

  /** What our item in the status bar says. */
  async status(): Promise<string> {
    const [text] = await this.page.locator('.statusbar-item[id*="buzzout"]').allInnerTexts();
    return plain(text ?? '');
  }

  /**
   * Counts squiggles on every frame while `act` runs and for `after` milliseconds more; gives the fewest seen.
   * Zero means that findings vanished between two answers of the server.
   */
  async fewestMarksDuring(act: () => Promise<void>, after = 1500): Promise<number> {
    await this.inPage('watch', '.monaco-editor [class*="squiggly-"]');
    await act();
    await this.page.waitForTimeout(after);
    return this.inPage<number>('unwatch');
  }

  /** Saves what is on screen below the git-ignored .tools folder, for eyes. */
  async screenshot(name: string): Promise<void> {
    const folder = join(root, '.tools/screenshots');
    mkdirSync(folder, { recursive: true });
    await this.page.screenshot({ path: join(folder, `${name}.png`) });
  }

  private async wordBox(lineText: string, word: string): Promise<Box> {
    await this.line(lineText).waitFor();
    const box = await this.inPage<Box | null>('wordBox', lineText, word);
    if (!box) throw new Error(`no "${word}" in the line with "${lineText}"`);
    return box;
  }

  private inPage<T>(name: string, ...args: string[]): Promise<T> {
    return this.page.evaluate<T>(`buzzoutTest.${name}(${args.map((arg) => JSON.stringify(arg)).join(', ')})`);
  }
}

const plain = (text: string) => text.replaceAll('\u00a0', ' ').trim();
