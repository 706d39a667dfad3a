import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { completion, type Surroundings } from '../../server/src/editor/completion';
import { anyText } from '../dialect/any-text';
import { board, pinout } from '../dialect/texts';
import { analyseBoard } from '../harness/memory';
import { atBoard, atPinout } from './at';

async function offered(text: string, around?: Surroundings) {
  const { analysis, offset } = await atBoard(text);
  return completion(analysis, offset, around);
}
const labels = async (text: string, around?: Surroundings) => (await offered(text, around)).map((item) => item.label);

/** The text after an item is taken. */
async function taken(text: string, label: string): Promise<string> {
  const { analysis, offset } = await atBoard(text);
  const item = completion(analysis, offset).find((one) => one.label === label);
  if (!item) throw new Error(`${label} is not offered`);
  return analysis.text.slice(0, item.span.start) + item.insertText + analysis.text.slice(item.span.end);
}

describe('pins', () => {
  test('after a part and its dot, on a line that does not parse yet', async () => {
    const items = await offered('parts:\n  U1: fw2210\ntraces:\n  buzzed:\n    - [U1.14, C7.+\n    - U1.$0');
    expect(items[0]).toMatchObject({ label: 'U1.VBAT', kind: 'pin', detail: 'pin 1 · supply' });
    expect(items.find((item) => item.label === 'U1.1')).toMatchObject({ detail: 'VBAT · supply' });
    expect(items.map((item) => item.label)).toContain('U1.DACR');
    expect(items.find((item) => item.label === 'U1.13')).toMatchObject({
      detail: 'DACR · audio-out · right',
      documentation: expect.stringContaining('full scale 900 mV RMS'),
    });
  });

  test('those that reach nothing yet come first; those on the line are left out', async () => {
    const found = await labels('parts: {U1: fw2210}\ntraces:\n  buzzed:\n    - U1.1 C1.1\n    - U1.2 U1.$0');
    expect(found).not.toContain('U1.2');
    expect(found.indexOf('U1.1')).toBeGreaterThan(found.indexOf('U1.14'));
  });

  test('where a probe goes, nets and test points come first and pins that reach nothing last', async () => {
    const head =
      'board: x\nparts: {U1: fw2210, R1: 1 k, TP1: {}}\nnets: {OUT: {role: audio-out}}\ntraces:\n  buzzed: [U1.14 R1.1 OUT, TP1 U1.2]\n';
    for (const place of ['readings:\n  - $0', 'captures:\n  a: {file: a.wav, channels: {1: $0}}']) {
      const found = (await labels(head + place)).filter((label) => /^(OUT|TP1|R1\.[12]|U1\.)$/.test(label));
      expect([found.slice(0, 2).toSorted(), ...found.slice(2)]).toEqual([['OUT', 'TP1'], 'U1.', 'R1.1', 'R1.2']);
    }
    const joined = (
      await labels(`${head}    - $0`.replace('buzzed: [U1.14 R1.1 OUT, TP1 U1.2]', 'buzzed:\n    - U1.14 R1.1 OUT'))
    ).slice(0, 1);
    expect(joined).toEqual(['R1.2']);
  });

  test('names stand before numbers, and pins that no one has described behind both', async () => {
    const found = await labels('parts: {U1: fw2210}\ntraces:\n  seen:\n    - U1.$0');
    expect(found.indexOf('U1.DACL')).toBeLessThan(found.indexOf('U1.1'));
    expect(found).toContain('U1.16');
    expect(found).not.toContain('U1.17');
  });

  test('of parts of which no one has said how many they have', async () => {
    const board = (parts: string) => labels(`${parts}\ntraces:\n  seen:\n    - Y1.2 A\n    - U9.7 B\n    - $0`);
    expect(await board('parts: {Y1: 12 MHz}')).toContain('Y1.');
    const behind = (dot: string, parts = '{}') =>
      labels(`parts: ${parts}\ntraces:\n  seen:\n    - U9.3 B\n    - ${dot}$0`);
    expect(await behind('Y1.')).toEqual(['Y1.1', 'Y1.2']);
    // One more than the highest pin met.
    expect(await behind('U9.')).toEqual(['U9.1', 'U9.2', 'U9.4', 'U9.3']);
    expect(await behind('U8.', '{U8: {package: sop-8}}')).toHaveLength(8);
  });

  test('in a list in brackets, in the value of a key, in a short form of a reading', async () => {
    const head = 'parts:\n  J2: jack-trs\n';
    const contacts = ['J2.tip', 'J2.ring', 'J2.sleeve', 'J2.tip-switch', 'J2.ring-switch', 'J2.detect'];
    expect(await labels(`${head}traces:\n  seen:\n    - [A, J2.$0]`)).toEqual(contacts);
    expect(await labels(`${head}captures:\n  a: {ground-lead: J2.$0`)).toEqual(['none', ...contacts]);
    expect(await taken(`${head}readings:\n  - J2.$0\n`, 'J2.tip')).toContain('  - J2.tip: \n');
  });

  test('big parts are offered by their designator first, small ones by their pins, nets by name', async () => {
    const items = await offered(
      'parts: {U1: fw2210, BT1: 3.7 V}\nnets: {GND: {role: ground}}\ntraces:\n  buzzed:\n    - $0',
    );
    expect(items.map((item) => item.label)).toEqual(['BT1.+', 'BT1.-', 'U1.', 'GND', 'join']);
    expect(items.find((item) => item.label === 'U1.')).toMatchObject({ again: true });
  });

  test('a polarised capacitor goes by + and −, another by number', async () => {
    const found = await labels('parts: {C1: {value: 1u, polarised: yes}, C2: 1u}\ntraces:\n  seen:\n    - $0');
    expect(found).toEqual(['C1.+', 'C1.-', 'C2.1', 'C2.2', 'join']);
  });
});

describe('cautions before their bracket', () => {
  test('the words are offered, and bring it', async () => {
    expect(await taken('board: x\ncautions: $0\n', 'lithium-cell')).toBe('board: x\ncautions: [lithium-cell$0]\n');
    expect(await taken('board: x\ncautions: lith$0', 'lithium-cell')).toBe('board: x\ncautions: [lithium-cell$0]');
    expect(await taken('board: x\ncautions:$0', 'mains')).toBe('board: x\ncautions: [mains$0]');
    expect(await taken('{board: x, cautions: $0}', 'mains')).toBe('{board: x, cautions: [mains$0]}');
  });

  test('inside it, and on lines of their own, they come alone', async () => {
    expect(await taken('cautions: [$0', 'mains')).toBe('cautions: [mains');
    expect(await taken('cautions:\n  - $0', 'mains')).toBe('cautions:\n  - mains');
    expect(await labels('cautions: [mains, $0')).not.toContain('mains');
  });
});

describe('keys', () => {
  test('those not there yet, with their page', async () => {
    const items = await offered('board: x\nparts: {}\n$0');
    expect(items.map((item) => item.label)).not.toContain('parts');
    expect(items[0]).toMatchObject({ label: 'complaint', documentation: expect.stringContaining('owner') });
  });

  test('what opens the value is put behind them, indented as it must be', async () => {
    expect(await taken('board: x\n$0', 'traces')).toBe('board: x\ntraces:\n  ');
    expect(await taken('captures:\n  a:\n    $0', 'channels')).toBe('captures:\n  a:\n    channels:\n      ');
    expect(await taken('captures:\n  a: {$0', 'channels')).toBe('captures:\n  a: {channels: {$0}');
    expect(await taken('readings:\n  - at: A\n    $0', 'dc')).toBe('readings:\n  - at: A\n    dc: ');
    expect(await taken('captures:\n  a: {fil$0: x}', 'file')).toBe('captures:\n  a: {file: x}');
    expect(await taken('expect:\n  $0', 'in-phase')).toBe('expect:\n  - in-phase: ');
  });

  test('parts: those met in joins, then the next free of each class', async () => {
    const found = await labels('parts:\n  R1: 10\n  R7: 10\n  $0\ntraces: {seen: [C3.1 A]}');
    expect(found.slice(0, 3)).toEqual(['C3', 'R8', 'C4']);
  });

  test('nets that joins use and nobody declared', async () => {
    expect(await labels('nets:\n  GND: {role: ground}\n  $0\ntraces: {seen: [[GND, VBUS, R1.1]]}')).toEqual([
      'VBUS',
      'supply',
      'audio output',
    ]);
  });

  test('checks with a threshold under limits', async () => {
    expect(await labels('limits:\n  $0')).toContain('coupling-corner-high');
  });

  test('the next pins of a pinout', async () => {
    const { analysis, offset } = await atPinout(pinout.replace('modes:', '  $0\nmodes:'));
    expect(
      completion(analysis, offset)
        .map((item) => item.label)
        .slice(0, 9),
    ).toEqual(['3', '4', '5', '6', '8', '11', '12', '15', '16']);
  });
});

describe('values', () => {
  test('words of a list with their meaning', async () => {
    expect((await offered('nets:\n  A: {role: $0'))[0]).toMatchObject({
      label: 'ground',
      documentation: expect.stringContaining('return'),
    });
    expect(await labels('cautions: [mains, $0]')).not.toContain('mains');
    expect(await labels('complete: $0')).toEqual(['yes', 'no']);
  });

  test('names of pinouts, modes, states, checks', async () => {
    expect(await labels('parts:\n  U1: {pinout: $0')).toEqual(['fw2210']);
    expect(await labels('parts:\n  U1: $0')).toEqual(['fw2210', 'not-fitted']);
    expect(await labels('parts:\n  U1: {mode:$0, pinout: fw2210}')).toEqual(['stereo', 'differential', 'mono']);
    expect(await labels('reworks: [{name: capped}]\nreadings:\n  - {at: A, state: $0')).toEqual(['as-found', 'capped']);
    expect(await labels('accepted:\n  - check: $0')).toContain('return-shared');
  });

  test('units behind a number', async () => {
    expect(await labels('parts:\n  C1: 22$0')).toEqual(['22 pF', '22 nF', '22 µF', '22 F', 'not-fitted']);
    expect(await taken('parts:\n  C1: 22$0', '22 µF')).toBe('parts:\n  C1: 22 uF');
    expect(await labels('captures:\n  a: {stimulus: {tone: 1, level: -12$0')).toEqual(
      expect.arrayContaining(['-12 dBFS', '-12 dBV']),
    );
  });

  test('recordings of the folder and channels inside them', async () => {
    const around: Surroundings = {
      captureFiles: [{ path: 'captures/a, b.wav', detail: '2 s, 48 kHz' }],
      channels: (path) => (path === 'a.csv' ? ['CH1', 'CH2'] : undefined),
    };
    const items = await offered('captures:\n  a: {file: $0', around);
    expect(items).toMatchObject([{ label: 'captures/a, b.wav', insertText: '"captures/a, b.wav"' }]);
    expect(await labels('captures:\n  a: {file: a.csv, channels: {CH1: A, $0', around)).toEqual(['CH2']);
  });
});

test('nothing in a comment, nor in a text of its own', async () => {
  expect(await offered('board: x # $0')).toEqual([]);
  expect(await offered('complaint: hum $0')).toEqual([]);
});

test('at every offset of the contract board something answers, and spans lie in the text', async () => {
  const analysis = await analyseBoard(board, { 'fw2210.pinout.yaml': pinout });
  for (let offset = 0; offset <= analysis.text.length; offset += 7)
    for (const item of completion(analysis, offset)) {
      expect(item.span.start).toBeLessThanOrEqual(offset);
      expect(item.span.end).toBeLessThanOrEqual(analysis.text.length);
    }
});

test('no text makes it throw', async () => {
  await fc.assert(
    fc.asyncProperty(anyText, fc.double({ min: 0, max: 1, noNaN: true }), async (text, part) => {
      const analysis = await analyseBoard(text).catch(() => undefined);
      if (analysis) completion(analysis, Math.floor(part * analysis.text.length));
    }),
    { numRuns: 200, seed: 9 },
  );
});
