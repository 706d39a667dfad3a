import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  CancellationTokenSource,
  CodeLensRequest,
  HoverRequest,
  type MarkupContent,
} from 'vscode-languageserver-protocol/node';
import * as messages from '../../server/src/messages';
import { Client } from '../harness/lsp';
import { sine, writeWav } from '../harness/wav';

const folder = mkdtempSync(join(tmpdir(), 'buzzout-pages-'));
const uriOf = (name: string) => pathToFileURL(join(folder, name)).href;
const uri = uriOf('a.board.yaml');
const text = `board: pages
complaint: hollow
parts:
  U1: {pins: {1: VDD, 2: GND, 3: {name: OUTL, role: audio-out, channel: left, return: 2, full-scale: 1 V}}}
  C1: 22 uF
  J1: {style: jack-ts, load: 10 k}
traces:
  buzzed:
    - U1.OUTL C1.1
    - C1.2 J1.tip OUT_L
    - U1.GND J1.sleeve GND
nets:
  GND: {role: ground}
  OUT_L: {role: audio-out, channel: left}
captures:
  tone-left:
    file: tone.wav
    stimulus: {tone: 997 Hz, side: left, level: -12 dBFS}
    channels: {1: OUT_L}
    full-scale: 1 V
`;
let client: Client;

beforeAll(async () => {
  writeWav(join(folder, 'tone.wav'), [sine(997, 0.25)]);
  writeFileSync(join(folder, 'closed.board.yaml'), 'board: closed\ncautions: [lithium-sell]\n');
  writeFileSync(join(folder, 'sheet.pinout.yaml'), 'pinout: s\npins: {1: VDD}\n');
  const options = { pictures: true, commands: ['buzzout.measure', 'buzzout.diagnose', 'buzzout.copper-map'] };
  client = await Client.start(folder, { options });
  await client.open(uri, text);
});
afterAll(async () => {
  await client.stop();
  rmSync(folder, { recursive: true, force: true });
});

const ask = <R>(method: string, params: object, token?: CancellationTokenSource['token']): Promise<R> =>
  token ? client.connection.sendRequest<R>(method, params, token) : client.connection.sendRequest<R>(method, params);
const page = (params: Omit<messages.PageParams, 'uri'>, of = uri) =>
  ask<messages.PageResult>(messages.page, { uri: of, ...params });

describe('pages', () => {
  test('the commands above title and recordings name what they are about', async () => {
    // Once a page of figures is there, the line above its recording tells them too.
    await page({ kind: 'measure', capture: 'tone-left' });
    const lenses = (await client.connection.sendRequest(CodeLensRequest.type, { textDocument: { uri } }))!;
    const commands = lenses.flatMap(({ command }) => (command?.command ? [[command.command, command.arguments]] : []));
    expect(commands).toEqual([
      ['buzzout.diagnose', [uri, null]],
      ['buzzout.copper-map', [uri, null]],
      ['buzzout.measure', [uri, 'tone-left']],
    ]);
  });

  test('a recording is measured before its page is told, and drawn', async () => {
    const told = (await page({ kind: 'measure', capture: 'tone-left' }))!.markdown;
    expect(told).toContain('# Measured: tone-left');
    // 0.25 V peak is 0.1768 V RMS.
    expect(told).toMatch(/\| RMS \| 176\.8 mV \|/);
    expect(told).toContain('data:image/svg+xml;base64,');
  });

  test('a diagnosis and the copper', async () => {
    const diagnosis = (await page({ kind: 'diagnose' }))!.markdown;
    expect(diagnosis).toMatch(/# Diagnosis: pages\n\n> hollow\n\n.*likely: /s);
    const map = (await page({ kind: 'copper-map' }))!.markdown;
    expect(map).toContain('C1.2');
    expect(map).toContain('J1.tip');
  });

  test('nothing of what is not there', async () => {
    expect(await page({ kind: 'measure', capture: 'none' })).toBeNull();
    expect(await page({ kind: 'diagnose' }, uriOf('none.board.yaml'))).toBeNull();
    expect(await page({ kind: 'copper-map' }, uriOf('sheet.pinout.yaml'))).toBeNull();
  });

  test('one that is called off is not told', async () => {
    // Another text each time, so that no answer is at hand; on a busy machine one may still be faster than the calling off.
    let off = false;
    for (let version = 2; !off && version < 50; version++) {
      await client.change(uri, version, `${text}# ${version}\n`);
      const source = new CancellationTokenSource();
      const asked = ask(messages.page, { uri, kind: 'diagnose' }, source.token);
      source.cancel();
      off = await asked.then(
        () => false,
        (error: Error) => /called off|cancel/i.test(error.message),
      );
    }
    expect(off).toBe(true);
    // And the next is answered as ever.
    expect((await page({ kind: 'diagnose' }))!.markdown).toContain('likely');
  });

  test('the recordings to choose from', async () => {
    expect(await ask(messages.captureNames, { uri })).toEqual({ names: ['tone-left'] });
  });
});

describe('a picture in a hover', () => {
  const hoverOn = async (asked: Client) => {
    const line = text.split('\n').findIndex((one) => one.includes('tone-left:'));
    const found = await asked.connection.sendRequest(HoverRequest.type, {
      textDocument: { uri },
      position: { line, character: 4 },
    });
    return (found!.contents as MarkupContent).value;
  };

  test('is there for a client that shows pictures', async () => {
    await page({ kind: 'measure', capture: 'tone-left' });
    expect(await hoverOn(client)).toContain('![tone-left over time](data:image/svg+xml;base64,');
  });

  test('and not for another', async () => {
    const plain = await Client.start(folder);
    try {
      await plain.open(uri, text);
      await plain.connection.sendRequest(messages.page, { uri, kind: 'measure', capture: 'tone-left' });
      const told = await hoverOn(plain);
      expect(told).toContain('177 mV RMS');
      expect(told).not.toContain('data:image');
    } finally {
      await plain.stop();
    }
  });
});

describe('every board', () => {
  test('is listed, open or not; pinouts are none', async () => {
    expect(await ask(messages.listBoards, {})).toEqual({ uris: [uri, uriOf('closed.board.yaml')] });
  });

  test('is checked when asked for, though not open', async () => {
    const { diagnostics } = await ask<messages.CheckBoardResult>(messages.checkBoard, {
      uri: uriOf('closed.board.yaml'),
    });
    expect(diagnostics.map(({ code, range }) => [code, range.start.line])).toEqual([['unknown-reference', 1]]);
    expect(client.published.some((one) => one.uri === uriOf('closed.board.yaml'))).toBe(false);
  });
});
