import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { captureOf } from '../harness/capture-recipe';
import { buzzout } from '../harness/cli';

/** Whatever a file holds, the command line says what is wrong and where, and never shows a stack. */
describe('bad input', () => {
  const folder = mkdtempSync(join(tmpdir(), 'buzzout-bad-'));
  const write = (name: string, content: string | Uint8Array) => {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  };
  const bytes = (length: number) => Uint8Array.from({ length }, (_, n) => (n * 197 + (n >> 3)) & 255);
  const check = async (...args: string[]) => {
    const answer = await buzzout(folder, ['check', ...args]);
    for (const text of [answer.out, answer.err]) {
      expect(text).not.toMatch(/^\s+at .+:\d+:\d+/m);
      expect(text).not.toMatch(/Error:|undefined|\[object/);
    }
    return answer;
  };
  const board = (name: string, rest: string) => {
    write(name, `board: Kiosk\n${rest}`);
    return name;
  };
  const withRecording = (name: string, file: string) =>
    board(
      name,
      `nets:\n  L: {role: audio-out, channel: left}\n  R: {role: audio-out, channel: right}\ncaptures:\n  tone:\n    file: ${file}\n    stimulus: {tone: 997 Hz, side: both}\n    channels: {1: L, 2: R}\n`,
    );
  const good = captureOf('1: sine 997 Hz -12 dBFS + noise -90 dBFS\n2: sine 997 Hz -12 dBFS + noise -90 dBFS');

  beforeAll(() => write('good.wav', good));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('a binary file as a board', async () => {
    write('photo.board.yaml', bytes(5000));
    const { status, out } = await check('photo.board.yaml');
    expect(status).toBe(2);
    expect(out).toContain('photo.board.yaml, line 1: error file-unreadable');
    expect(out).toContain('binary file');
  });

  it('a recording as a board', async () => {
    write('tone.board.yaml', good);
    const { status, out } = await check('tone.board.yaml');
    expect(status).toBe(2);
    expect(out).toContain('file-unreadable');
  });

  it('a board of 50 MB', async () => {
    write('huge.board.yaml', `board: Kiosk\nparts:\n${'  R1: 470 # again and again and again\n'.repeat(1_400_000)}`);
    const started = performance.now();
    const { status, out } = await check('huge.board.yaml');
    expect(status).toBe(2);
    expect(out).toMatch(/file-too-large[\s\S]*5\d\.\d MB/);
    console.log(`50 MB refused in ${(performance.now() - started).toFixed(0)} ms`);
  });

  it('a folder without boards, a folder called like a board, a path that is not there, a file of another kind', async () => {
    mkdirSync(join(folder, 'empty'));
    mkdirSync(join(folder, 'kiosk.board.yaml'));
    write('notes.txt', 'hello');
    for (const [path, says] of [
      ['empty', 'empty holds no *.board.yaml'],
      ['kiosk.board.yaml', 'holds no *.board.yaml'],
      ['gone.board.yaml', 'there is no file or folder gone.board.yaml'],
      ['notes.txt', 'notes.txt is neither'],
    ] as const) {
      const { status, err } = await check(path);
      expect(status).toBe(2);
      expect(err).toContain(says);
    }
  });

  it('a WAV cut short is measured as far as it goes, and the board says so', async () => {
    write('cut.wav', good.subarray(0, good.length >> 1));
    const { status, out } = await check(withRecording('cut.board.yaml', 'cut.wav'));
    expect(out).toContain('cut.board.yaml, line 7: warning capture-truncated');
    expect(status).toBe(1);
  });

  it.each([
    ['a WAV that ends in its header', 'head.wav', () => good.subarray(0, 20)],
    ['an empty WAV', 'empty.wav', () => new Uint8Array()],
    ['a WAV full of noise from its first byte', 'noise.wav', () => bytes(4096)],
    ['a CSV without a number', 'words.csv', () => new TextEncoder().encode('all\nis\nquiet\n')],
    ['an empty CSV', 'empty.csv', () => new Uint8Array()],
  ])('%s', async (_, name, content) => {
    write(name, content());
    const { status, out } = await check(withRecording(`${name}.board.yaml`, name));
    expect(status).toBe(1);
    expect(out).toContain(`${name}.board.yaml, line 7: error file-unreadable`);
    expect(out).toContain(`7 │     file: ${name}`);
    expect(out).toContain('1 finding on 1 board');
  });

  it('a folder as a recording, a recording that is not there', async () => {
    mkdirSync(join(folder, 'takes'));
    const asFolder = await check(withRecording('folder.board.yaml', 'takes'));
    expect(asFolder.out).toMatch(/line 7: error file-unreadable[\s\S]*takes is a folder/);
    const gone = await check(withRecording('gone-wav.board.yaml', 'gone.wav'));
    expect(gone.out).toMatch(/line 7: error missing-file[\s\S]*gone\.wav/);
  });

  it('a pinout that is not there, one that is binary, one that holds a board', async () => {
    const missing = await check(board('no-sheet.board.yaml', 'parts:\n  U1: {pinout: fx100}\n'));
    expect(missing.out).toMatch(/line 3: error unknown-reference[\s\S]*fx100/);
    write('bin.pinout.yaml', bytes(3000));
    const binary = await check(board('bin-sheet.board.yaml', 'pinouts: [bin.pinout.yaml]\n'));
    expect(binary.out).toMatch(/line 2: error file-unreadable[\s\S]*bin\.pinout\.yaml/);
    write('odd.pinout.yaml', 'board: Kiosk\n');
    const odd = await check('odd.pinout.yaml');
    expect(odd.status).toBe(1);
    expect(odd.out).toContain('unknown-key');
  });

  it('an alias bomb', async () => {
    const lines = ['board: &a0 [x, x, x, x, x, x, x, x, x]'];
    for (let n = 1; n < 12; n++)
      lines.push(
        `k${n}: &a${n} [${Array(9)
          .fill(`*a${n - 1}`)
          .join(', ')}]`,
      );
    write('bomb.board.yaml', `${lines.join('\n')}\n`);
    const { status, out } = await check('bomb.board.yaml');
    expect(status).toBe(1);
    expect(out).toContain('bomb.board.yaml, line 1: error');
  });

  it('deep nesting, one endless line, null bytes late, no line at all', async () => {
    write('deep.board.yaml', `board: Kiosk\nparts: ${'['.repeat(20_000)}`);
    write('line.board.yaml', `board: ${'x'.repeat(1_000_000)}\n`);
    write('null.board.yaml', `board: Kiosk\n# ${'x'.repeat(10_000)}\nparts:\n  R1: 4\u0000k7\n`);
    write('nothing.board.yaml', '');
    for (const name of ['deep', 'line', 'null', 'nothing']) {
      const { status, out } = await check(`${name}.board.yaml`);
      expect([0, 1, 2], name).toContain(status);
      expect(out, name).toMatch(/finding|Nothing found/);
    }
  });

  it('standard input', async () => {
    const answer = await buzzout(folder, ['check', '-'], 'board: Kiosk\nparts:\n  R1: 4q7\n');
    expect(answer.status).toBe(1);
    expect(answer.out).toContain('-, line 3: error bad-quantity');
  });

  it('bad usage is one line and the way to help', async () => {
    for (const args of [
      ['check'],
      ['check', '--format', 'pdf', 'a'],
      ['check', '--colour'],
      ['solder'],
      ['explain', 'nonsense'],
    ]) {
      const { status, err } = await buzzout(folder, args);
      expect(status).toBe(2);
      expect(err).toMatch(/^buzzout/);
      expect(err).not.toMatch(/^\s+at /m);
    }
  });
});
