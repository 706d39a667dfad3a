import { rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { packVsix } from '../harness/vsix';
import { zipEntries } from '../harness/zip';

let path: string;
let entries: Map<string, number>;

beforeAll(() => {
  path = packVsix();
  entries = zipEntries(path);
});
afterAll(() => rmSync(dirname(path), { recursive: true }));

test('the package holds what a user needs, and nothing else', () => {
  expect([...entries.keys()].sort()).toEqual([
    '[Content_Types].xml',
    'extension.vsixmanifest',
    'extension/LICENSE.txt',
    'extension/changelog.md',
    'extension/client/icons/board-dark.svg',
    'extension/client/icons/board-light.svg',
    'extension/client/icons/buzzout.png',
    'extension/client/icons/pinout-dark.svg',
    'extension/client/icons/pinout-light.svg',
    'extension/client/reference/checks.md',
    'extension/client/reference/dialect.md',
    ...['board', 'chip', 'demo', 'found', 'pin', 'recording'].map((step) => `extension/client/walkthrough/${step}.md`),
    'extension/dist/compute.cjs',
    'extension/dist/extension-web.js',
    'extension/dist/extension.cjs',
    'extension/dist/server-web.js',
    'extension/dist/server.cjs',
    'extension/package.json',
    'extension/readme.md',
    ...['both', 'left', 'right', 'unlike'].map((take) => `extension/samples/tidemill/captures/hollow-${take}.wav`),
    'extension/samples/tidemill/handset-hollow.board.yaml',
    'extension/samples/tidemill/sheets/pwl6203.pinout.yaml',
    'extension/samples/tidemill/sheets/pwl6203d.pinout.yaml',
    'extension/syntaxes/board.tmLanguage.json',
    'extension/syntaxes/language-configuration.json',
    'extension/syntaxes/pinout.tmLanguage.json',
  ]);
});

test('no part of it is empty', () => {
  expect([...entries].filter(([, size]) => size === 0)).toEqual([]);
});
