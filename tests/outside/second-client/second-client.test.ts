import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { outside } from '../../harness/outside';
import { sine, writeWav } from '../../harness/wav';

const text = `board: A second client
parts:
  U1: {pins: {1: VDD, 2: GND, 3: OUTL}}
  R4: 4 volt
traces:
  buzzed:
    - U1.OUTL OUT_L
nets:
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
captures:
  tone-both:
    file: tone.wav
    stimulus: {tone: 997 Hz, side: both}
    channels: {1: OUT_L, 2: OUT_R}
`;

interface Got {
  readonly diagnostics: readonly { readonly line: number; readonly code: string; readonly source: string }[];
  readonly hover: string;
  readonly completion: readonly string[];
}

// Neovim's own language client, which nobody here has written, on the server as any editor would start it.
outside.suite(['neovim'], 'another editor over stdio', () => {
  test('gets findings, what a recording shows among them, a hover, and pins behind a dot', () => {
    const folder = mkdtempSync(join(tmpdir(), 'buzzout-second-'));
    try {
      writeFileSync(join(folder, 'a.board.yaml'), text);
      writeWav(join(folder, 'tone.wav'), [sine(997, 0.25), sine(997, 0.25, 180)]);
      const out = join(folder, 'got.json');
      const ran = outside.run(
        'nvim',
        ['--headless', '-n', '-u', 'NONE', '-i', 'NONE', '-S', join(__dirname, 'client.lua')],
        {
          cwd: folder,
          env: {
            BOARD: join(folder, 'a.board.yaml'),
            NODE: process.execPath,
            SERVER: join(outside.root, 'dist/buzzout.cjs'),
            OUT: out,
            WANTED: '2',
            XDG_STATE_HOME: folder,
            XDG_CACHE_HOME: folder,
          },
        },
      );
      expect(ran.status, ran.stderr).toBe(0);
      const got: Got = JSON.parse(readFileSync(out, 'utf8'));
      expect(got.diagnostics.map(({ line, code, source }) => [line, code, source])).toEqual(
        expect.arrayContaining([
          [3, 'wrong-unit', 'buzzout'],
          [11, 'channels-antiphase', 'buzzout'],
        ]),
      );
      expect(got.hover).toContain('OUTL');
      expect(got.completion).toEqual(expect.arrayContaining(['U1.1', 'U1.2', 'U1.3']));
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
