import { describe, expect, test } from 'vitest';
import { pinText } from '../../server/src/board/roles';
import { completion } from '../../server/src/editor/completion';
import { codeLenses } from '../../server/src/editor/lenses';
import { quantityHelp } from '../../server/src/editor/quantity-help';
import { backward, onward, pathItemAt } from '../../server/src/editor/signal-path';
import { snippets, snippetText } from '../../server/src/editor/snippets';
import { board, pinout } from '../dialect/texts';
import { analyseBoard, analysePinout } from '../harness/memory';
import { sine, wavBytes } from '../harness/wav';
import { atBoard, covered, cursor } from './at';

describe('the signal path', () => {
  const at = async (word: string) => {
    const { analysis, offset } = await atBoard(cursor(board, word));
    return { analysis, item: pathItemAt(analysis, offset)! };
  };

  test('goes outward part by part to the contact, with what each step costs', async () => {
    const { analysis, item } = await at('U1.14');
    const [first] = onward(analysis, item);
    expect(first?.through).toBe('0 dB, through C7');
    const [second] = onward(analysis, first!.item);
    // 470 Ω into 1 kΩ beside 10 kΩ: 20·log10(909.1 / 1379.1) = −3.62 dB
    expect(second?.through).toBe('−3.62 dB, through R4');
    expect(second?.item.name).toBe('J2.tip');
    expect(covered(analysis.text, second!.spans[0]!)).toBe('R4');
    expect(onward(analysis, second!.item)).toEqual([]);
  });

  test('and back to its source', async () => {
    const { analysis, item } = await at('OUT_R\n');
    const [first] = backward(analysis, item);
    expect(first?.through).toBe('−3.62 dB, through R5');
    const [second] = backward(analysis, first!.item);
    expect(second?.item).toMatchObject({ name: 'U1.13', point: 'U1.13' });
    expect(backward(analysis, second!.item)).toEqual([]);
  });

  test('names points as the board writes them, else by polarity or data-sheet name', async () => {
    const { analysis, item } = await at('U1.14');
    const [first] = onward(analysis, item);
    expect(first!.item.name).toBe('C7.-');
    expect(first!.item.detail).toMatch(/^0 dB, through C7 · /);
    // Joins write the output by its number; the same pin by its name where they do.
    expect(backward(analysis, first!.item)[0]!.item.name).toBe('U1.14');
    const named = await analyseBoard(board.replaceAll('U1.14', 'U1.DACL'), { 'fw2210.pinout.yaml': pinout });
    expect(backward(named, first!.item)[0]!.item.name).toBe('U1.DACL');
  });

  test('starts nowhere on a ground', async () => {
    expect((await at('GND\n')).item).toBeUndefined();
  });
});

test('lenses: what a board offers, and what each recording came to', async () => {
  const text =
    'board: x\ncaptures:\n  a:\n    file: a.wav\n    stimulus: {tone: 1 kHz, side: both}\n    channels: {1: L, 2: R}\n  b: {file: no.wav}\n';
  const analysis = await analyseBoard(text, { 'a.wav': wavBytes([sine(1000, 0.5), sine(1000, 0.5)]) });
  const lenses = codeLenses(analysis);
  expect(lenses.map((lens) => lens.command)).toEqual([undefined, 'diagnose', 'copper-map', 'measure', 'measure']);
  expect(lenses[3]!.title).toBe('500 ms: L and R same, 0.0°');
  expect(lenses[4]!.title).toContain('There is no file no.wav');
  expect(codeLenses(await analysePinout(pinout))).toEqual([]);
});

test('a pin without a data sheet goes by its polarity in messages', async () => {
  const { board: cells } = await analyseBoard(
    'board: x\nparts:\n  BT1: 3 V\n  C1: 22 uF 6.3 V\n  R1: 1 k\ntraces:\n  buzzed: [BT1.1 C1.+ R1.1, BT1.2 C1.- R1.2]\n',
  );
  const names = cells.at().nodes.flatMap((node) => node.pins.map(pinText));
  expect(names.toSorted()).toEqual(['BT1.+', 'BT1.-', 'C1.+', 'C1.-', 'R1.1', 'R1.2']);
});

test('how a quantity may be written', async () => {
  const help = async (text: string) => {
    const { analysis, offset } = await atBoard(text);
    return quantityHelp(analysis, offset);
  };
  const level = await help('captures:\n  a: {stimulus: {tone: 1 kHz, level: -12 V$0');
  expect(level?.forms.map((form) => form.label)).toEqual([
    'level: level in dBV, dBu or dBFS',
    'level: voltage in volts',
  ]);
  expect(level?.active).toBe(1);
  const scale = await help('captures:\n  a:\n    full-scale: $0');
  expect(scale?.forms[0]).toMatchObject({ label: 'full-scale: voltage in volts, peak' });
  expect(scale?.forms[0]?.documentation).toContain('Volts, peak, at digital full scale.');
  expect(await help('complaint: $0')).toBeUndefined();
});

describe('snippets', () => {
  /** The text a snippet leaves when every place keeps what it offers. */
  const filled = (text: string) => {
    const given = new Map([...text.matchAll(/\$\{(\d):([^}]*)\}/g)].map((match) => [match[1], match[2]]));
    return text.replace(/\$\{(\d):([^}]*)\}/g, '$2').replace(/\$(\d)/g, (_, place) => given.get(place) ?? '');
  };

  test.each(snippets.map((snippet) => [snippet.label, snippet] as const))(
    '%s gives a text with no fault',
    async (_, snippet) => {
      const depth = snippet.path.length;
      const head = snippet.path.map((key, index) => `${'  '.repeat(index)}${key}:\n`).join('');
      const indent = '  '.repeat(depth) + (snippet.item ? '  ' : '');
      const lead = '  '.repeat(depth) + (snippet.item ? '- ' : '');
      const whole = depth === 0 && /^(pinout|board): /.test(filled(snippetText(snippet, '')));
      const title = whole ? '' : snippet.file === 'pinout' ? 'pinout: x\n' : depth === 0 ? '' : 'board: x\n';
      const text = `${title}${head}${lead}${filled(snippetText(snippet, indent))}\n`;
      const analysis =
        snippet.file === 'pinout'
          ? await analysePinout(text)
          : await analyseBoard(text, { 'p.pinout.yaml': 'pinout: chip\n', 'n.pinout.yaml': 'pinout: name\n' });
      const shape = analysis.parsed.problems.map((problem) => problem.message);
      expect(shape).toEqual([]);
    },
  );

  test('are offered where they belong, indented as they must be', async () => {
    const { analysis, offset } = await atBoard('board: x\ncaptures:\n  $0');
    const found = completion(analysis, offset).find((one) => one.label === 'tone on one side')!;
    expect(found.snippet).toBe(true);
    expect(
      found.insertText
        .split('\n')
        .slice(1)
        .every((line) => line.startsWith('    ')),
    ).toBe(true);
    const reading = await atBoard('board: x\nreadings:\n  $0');
    expect(
      completion(reading.analysis, reading.offset).find((one) => one.label === 'reading at a point')?.insertText,
    ).toMatch(/^- /);
    const second = await atBoard('nets:\n  A: {}\nreadings:\n  - A $0');
    expect(completion(second.analysis, second.offset).some((one) => one.label === 'reading at a point')).toBe(false);
    const inside = await atBoard('parts:\n  R1: {$0');
    expect(completion(inside.analysis, inside.offset).some((one) => one.label === 'chip')).toBe(false);
  });
});
