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

/** How long anything is waited for, in milliseconds: the machine may have other work. */
export const patience = 60_000;

export type Mark = 'error' | 'warning' | 'info' | 'hint';

/** The workbench as a person at a bench uses it: looks at squiggles, points at words, types, reads the Problems view. */
export class EditorPage {
  private constructor(readonly page: Page) {}

  static async open(browser: Browser, url: string): Promise<EditorPage> {
    const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
    page.setDefaultTimeout(patience);
    await page.addInitScript({ path: join(root, 'tests/editor-e2e/in-page.js') });
    await page.goto(url);
    await page.locator('.monaco-workbench').waitFor();
    return new EditorPage(page);
  }

  /** Asks again and again until the answer is yes; throws with what it waited for in vain. */
  async until(vain: string | (() => string), yes: () => Promise<boolean>): Promise<void> {
    const end = Date.now() + patience;
    while (!(await yes())) {
      if (Date.now() > end) throw new Error(typeof vain === 'string' ? vain : vain());
      await this.page.waitForTimeout(100);
    }
  }

  /** Waits until the server has answered for the file in front: what is asked of it before goes unanswered. */
  async serverAnswers(): Promise<void> {
    await this.page.locator('.statusbar-item[id*="buzzout"]', { hasText: /nothing found|\d/ }).waitFor();
  }

  /** Opens a file of the top folder by its row in the explorer. */
  async openFromExplorer(name: string): Promise<void> {
    await this.press('Escape', 2);
    await this.page.locator('.explorer-folders-view .monaco-list-row', { hasText: name }).dblclick();
    await this.tab(name);
    await this.page.locator('.monaco-editor .view-line').first().waitFor();
  }

  /** Opens a file by its whole path, and waits until the server has answered for it. */
  async openFile(path: string): Promise<void> {
    const name = path.slice(path.lastIndexOf('/') + 1);
    await this.pick('Control+P', path, name);
    await this.tab(name);
    await this.serverAnswers();
    await this.page.locator(`.editor-group-container.active .monaco-editor[data-uri$="${name}"]`).waitFor();
  }

  /** Saves the file in front and waits until it is saved. */
  async save(): Promise<void> {
    await this.press('Control+S');
    await this.page.locator('.tab.active.dirty').waitFor({ state: 'hidden' });
  }

  /** The whole text of the lines on screen, with what the editor shows between the words. */
  async text(): Promise<string> {
    return this.inPage<string>('text');
  }

  /** Waits until the lines on screen read as wanted. */
  async waitForText(wanted: RegExp): Promise<void> {
    let last = '';
    const look = async () => {
      last = await this.text();
      return wanted.test(last);
    };
    await this.until(() => `the text is never ${wanted}:\n${last}`, look);
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
    await this.until(
      `${there ? 'no' : 'still a'} ${kind} under "${text}"`,
      async () => (await this.marksUnder(text)).includes(kind) === there,
    );
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
  command(title: string): Promise<void> {
    return this.pick('F1', `>${title}`, title);
  }

  /** Opens the box at the top by a key, types, and takes the row of a name once it leads the list. */
  async pick(key: string, text: string, name: string): Promise<void> {
    const input = this.page.locator('.quick-input-widget input[type=text]');
    const named = this.page.locator('.label-name', { hasText: new RegExp(`^\\s*${escaped(name)}\\s*$`) });
    const row = this.page.locator('.quick-input-list .monaco-list-row.focused', { has: named });
    let looks = 0;
    await this.until(`"${name}" is never offered`, async () => {
      // What the editor learns while the box is open is offered by the next one.
      if (++looks % 50 === 0) await this.press('Escape');
      if (!(await input.isVisible())) await this.press(key);
      // A box that the editor still fills takes what is typed back, and one that is going takes nothing.
      else if ((await input.inputValue()) !== text) await input.fill(text, { timeout: 2000 }).catch(() => {});
      else if (await row.isVisible()) return true;
      return false;
    });
    await this.press('Enter');
  }

  /** Waits for the tab of a file in front. */
  async tab(name: string): Promise<void> {
    await this.page.locator('.editor-group-container.active .tab.active', { hasText: name }).waitFor();
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

  /** What pops up in the corner, once nothing there is under way: a server that fails says so there. */
  async notifications(): Promise<string[]> {
    const underWay = this.page.locator('.notification-toast .monaco-button', { hasText: 'Cancel' });
    await this.until('what is under way never ends', async () => (await underWay.count()) === 0);
    return (await this.page.locator('.notification-toast').allInnerTexts()).map(plain);
  }

  /** What our item in the status bar says. */
  async status(): Promise<string> {
    const [text] = await this.page.locator('.statusbar-item[id*="buzzout"]').allInnerTexts();
    return plain(text ?? '');
  }

  /** Waits until our item in the status bar says what is wanted. */
  waitForStatus(wanted: RegExp): Promise<void> {
    return this.until(`the status is never ${wanted}`, async () => wanted.test(await this.status()));
  }

  /** Waits until a line above the text says what is wanted. */
  async waitForLens(wanted: RegExp): Promise<void> {
    const lenses = this.page.locator('.codelens-decoration');
    await this.until(`nothing above the text says ${wanted}`, async () =>
      (await lenses.allInnerTexts()).some((said) => wanted.test(plain(said))),
    );
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

/** Text of the page with blanks as they were typed. */
export const plain = (text: string) => text.replaceAll('\u00a0', ' ').trim();

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
