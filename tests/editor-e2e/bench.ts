import { rmSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { packVsix } from '../harness/vsix';
import { layDemo } from './demo';
import { startDesktop } from './desktop';
import { EditorPage, startBrowser } from './editor-page';
import type { Server } from './server';

/** What the tests of one file share: the real editor on a folder of its own, seen in one browser. */
export interface Bench {
  readonly folder: string;
  readonly editor: EditorPage;
}

/** For one `describe`: the packed extension in the real editor, on a copy of the demo to which `lay` adds, with a file in front. */
export function desktopBench(name: string, front: string, lay: (folder: string) => void = () => {}): () => Bench {
  return bench(name, lay, async (folder, browser) => {
    const vsix = packVsix();
    const desktop = await startDesktop(vsix, folder);
    rmSync(dirname(vsix), { recursive: true });
    const editor = await EditorPage.open(browser, desktop.url(front));
    await editor.serverAnswers();
    return { server: desktop, editor };
  });
}

type Started = { readonly server: Server; readonly editor: EditorPage };

/** Registers the start and the end of what `start` starts; what is given may be asked for inside tests. */
export function bench(
  name: string,
  lay: (folder: string) => void,
  start: (folder: string, browser: Browser) => Promise<Started>,
): () => Bench {
  const endings: (() => unknown)[] = [];
  let bench: Bench | undefined;
  beforeAll(async () => {
    const folder = layDemo();
    endings.push(() => rmSync(folder, { recursive: true, force: true }));
    lay(folder);
    const browser = await startBrowser();
    endings.push(() => browser.close());
    const { server, editor } = await start(folder, browser);
    endings.push(server.stop, () => editor.screenshot(`${name}-last`));
    bench = { folder, editor };
  }, 300_000);
  afterAll(async () => {
    for (const end of endings.reverse()) await end();
  });
  return () => bench!;
}
