import type { Locator } from 'playwright-core';
import { type EditorPage, plain } from './editor-page';

/** What a person does with more than one key, each waited for: the machine may be slow, and lists are made anew while one looks. */

/** Puts the cursor behind a text of the file in front, as it stands in `source`. */
export function goBehind(editor: EditorPage, source: string, text: string): Promise<void> {
  const found = source.indexOf(text);
  if (found < 0) throw new Error(`no "${text}" in the file`);
  const before = source.slice(0, found + text.length).split('\n');
  return editor.goTo(before.length, before.at(-1)!.length + 1);
}

const asking = (editor: EditorPage) => editor.page.locator('.quick-input-widget input[type=text]');

/** Waits until the box at the top asks: the palette that a command was picked from stands in the same place until then. */
const asked = (editor: EditorPage) =>
  editor.until('nothing is asked', async () => {
    const input = asking(editor);
    return (await input.isVisible()) && !(await input.inputValue()).startsWith('>');
  });

/** Answers the box that asks for a word. */
export async function answer(editor: EditorPage, text: string): Promise<void> {
  await asked(editor);
  await editor.until('the word is not taken', async () => {
    await asking(editor)
      .fill(text, { timeout: 2000 })
      .catch(() => {});
    return (await asking(editor).inputValue()) === text;
  });
  await editor.press('Enter');
  // Where more is asked, the next question stands in the same place.
  await editor.until('the answer stays', async () => {
    const input = asking(editor);
    return !(await input.isVisible()) || (await input.inputValue({ timeout: 2000 }).catch(() => text)) !== text;
  });
}

/** Takes a row of the list that asks. */
export async function choose(editor: EditorPage, name: string): Promise<void> {
  await asked(editor);
  await editor.page.locator('.quick-input-list .monaco-list-row', { hasText: name }).click();
  await asking(editor).waitFor({ state: 'hidden' });
}

/** Answers the box that asks for a folder; it is found there once the list shows a folder that it holds. */
export async function answerFolder(editor: EditorPage, path: string, holds: string): Promise<void> {
  const row = (name: string) => editor.page.locator('.quick-input-list .monaco-list-row', { hasText: name }).first();
  await asked(editor);
  // The box is filled by the editor first, and takes nothing before.
  await row('..').waitFor();
  await editor.until(`the box never shows ${holds} in ${path}`, async () => {
    if (await row(holds).isVisible()) return true;
    if ((await asking(editor).inputValue()) !== path) await asking(editor).fill(path);
    return false;
  });
  await editor.page.locator('.quick-input-widget .quick-input-action .monaco-button').first().click();
  await asking(editor).waitFor({ state: 'hidden' });
}

/** Presses a button of what pops up in the corner. */
export async function answerQuestion(editor: EditorPage, said: RegExp, button: string): Promise<void> {
  const question = editor.page.locator('.notification-toast', { hasText: said });
  await question.locator('.monaco-button', { hasText: button }).click();
}

/** Presses the button of a step of the walkthrough in front. */
export async function pressStep(editor: EditorPage, step: string, button: string): Promise<void> {
  const row = editor.page.locator('.gettingStartedContainer .getting-started-step', { hasText: step });
  await row.click();
  await row.locator('.monaco-button', { hasText: button }).click();
}

/** Presses a key until something shows, and gives what it says: a key pressed too early goes unanswered. */
async function pressUntil(editor: EditorPage, key: string, shown: Locator): Promise<void> {
  await editor.until(`nothing comes of ${key}`, async () => {
    if (await shown.isVisible()) return true;
    await editor.press('Escape');
    await editor.press(key);
    return shown.waitFor({ timeout: 3000 }).then(
      () => true,
      () => false,
    );
  });
}

/** The actions offered where the cursor is, one of them awaited. */
export async function actions(editor: EditorPage, awaited: string): Promise<string[]> {
  const rows = editor.page.locator('.action-widget .monaco-list-row');
  await pressUntil(editor, 'Control+.', rows.filter({ hasText: awaited }).first());
  return (await rows.allInnerTexts()).map(plain);
}

/** Takes an action from the list where the cursor is. */
export async function act(editor: EditorPage, title: string): Promise<void> {
  await actions(editor, title);
  const rows = editor.page.locator('.action-widget .monaco-list-row');
  await editor.until(`"${title}" is never in front`, async () => {
    if (await editor.page.locator('.action-widget .monaco-list-row.focused', { hasText: title }).isVisible())
      return true;
    await editor.press('ArrowDown');
    return false;
  });
  await editor.press('Enter');
  await rows.first().waitFor({ state: 'hidden' });
}

/** Waits until the help for the quantity at the cursor says what is wanted. */
export async function waitForQuantityHelp(editor: EditorPage, wanted: RegExp): Promise<void> {
  const help = editor.page.locator('.parameter-hints-widget.visible');
  await pressUntil(editor, 'Control+Shift+Space', help.locator('.signature'));
  await editor.until(`the help never says ${wanted}`, async () =>
    wanted.test(plain((await help.allInnerTexts()).join('\n'))),
  );
}

/** Gives what is at the cursor another name; gives the name it had. */
export async function rename(editor: EditorPage, name: string): Promise<string> {
  const box = editor.page.locator('.monaco-editor.rename-box input');
  await pressUntil(editor, 'F2', box);
  const old = await box.inputValue();
  await box.fill(name);
  await editor.press('Enter');
  await box.waitFor({ state: 'hidden' });
  return old;
}

/** Presses a key until a file is in front. */
export async function follow(editor: EditorPage, key: string, name: string): Promise<void> {
  const tab = editor.page.locator('.tab.active', { hasText: name });
  await pressUntil(editor, key, tab);
}

/** What a key shows in the frame between the lines, once a row of it reads as wanted. */
export async function peeked(editor: EditorPage, key: string, wanted: RegExp): Promise<string[]> {
  const rows = editor.page.locator('.peekview-widget .monaco-list-row');
  await pressUntil(editor, key, rows.filter({ hasText: wanted }).first());
  const places = (await rows.allInnerTexts()).map(plain);
  await editor.press('Escape');
  return places;
}

/** Goes to what a name declares, by the list of the file's symbols. */
export async function goToSymbol(editor: EditorPage, name: string): Promise<void> {
  await editor.press('Escape');
  await editor.pick('Control+Shift+O', `@${name}`, name);
}

/** The rows of the view of calls at the side: each a name with its detail. */
export const calls = async (editor: EditorPage): Promise<string[]> =>
  (await editor.page.locator('.sidebar .pane-body .monaco-list-row').allInnerTexts()).map(plain);

/** Opens the rows of the view of calls one after the other until one says what is awaited; gives them all. */
export async function followCalls(editor: EditorPage, awaited: RegExp): Promise<string[]> {
  const closed = editor.page.locator('.sidebar .pane-body .monaco-tl-twistie.collapsible.collapsed').first();
  await editor.until(`the calls never lead to ${awaited}`, async () => {
    if ((await calls(editor)).some((row) => awaited.test(row))) return true;
    if (await closed.isVisible()) await closed.click({ timeout: 2000 }).catch(() => {});
    return false;
  });
  return calls(editor);
}

/** What is said about the suggestion in front, opened where it is closed. */
export async function suggestionDetails(editor: EditorPage): Promise<string> {
  const details = editor.page.locator('.suggest-details-container .suggest-details');
  await editor.until('no details of the suggestion', async () => {
    if (await details.isVisible()) return true;
    await editor.press('Control+Space');
    return details.waitFor({ timeout: 3000 }).then(
      () => true,
      () => false,
    );
  });
  return plain((await details.allInnerTexts()).join('\n'));
}
