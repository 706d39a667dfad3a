import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parsePinout } from '../../server/src/dialect/parse';
import { pinRows } from '../../server/src/editor/refactor/pin-rows';
import { refactorings } from '../../server/src/editor/refactorings';
import { analysePinout } from '../harness/memory';
import { apply } from './apply';
import { atPinout } from './at';

/** The file after the action at the cursor, or over the whole text from `§` to `$0`; undefined where none is offered. */
async function pinned(marked: string): Promise<{ title: string; text: string } | undefined> {
  const start = marked.indexOf('§');
  const { analysis, offset } = await atPinout(marked.replace('§', ''));
  const [action] = refactorings(analysis, { start: start < 0 ? offset : start, end: offset });
  return action && { title: action.title, text: apply(analysis.text, action.edits) };
}

async function pins(text: string): Promise<string[]> {
  const { pinout, findings } = await analysePinout(text);
  expect(findings).toEqual([]);
  return [...pinout!.pins.values()].map((pin) => [pin.key, pin.name, pin.role, pin.channel].filter(Boolean).join(' '));
}

describe('a pin table pasted into a pinout', () => {
  test('two columns below the pins there are: names as they stand, roles from the names', async () => {
    const done = await pinned('pinout: x\npins:\n  1: VDD\n2\tVSS\n13\tDACR$0\n14\tQQZ7\nmodes: {}\n');
    expect(done).toEqual({
      title: 'Make these lines 3 pins; no role follows from QQZ7',
      text: 'pinout: x\npins:\n  1: VDD\n  2: VSS\n  13: DACR\n  14: QQZ7\nmodes: {}\n',
    });
    expect(await pins(done!.text)).toEqual(['1 VDD supply', '2 VSS ground', '13 DACR audio-out right', '14 QQZ7']);
  });

  test.each([
    ['tabs', '1\tVDD\n2\tVSS'],
    ['blanks', '1 VDD\n2 VSS'],
    ['columns', ' 1      VDD\n 2      VSS'],
    ['commas', '1,VDD\n2,VSS'],
    ['quoted', '"1","VDD"\n"2","VSS"'],
    ['semicolons', '1;VDD\n2; VSS'],
    ['bars', '| 1 | VDD |\n| 2 | VSS |'],
    ['dots', '1. VDD\n2. VSS'],
    ['brackets', '1) VDD\n2) VSS'],
    ['dashes', '1 - VDD\n2 – VSS'],
    ['a word before', 'Pin 1 VDD\nPin 2 VSS'],
    ['leading noughts', '01 VDD\n02 VSS'],
    ['the name first', 'VDD\t1\nVSS\t2'],
    ['the name first, columns', 'VDD     1\nVSS     2'],
    ['bullets', '• 1 VDD\n• 2 VSS'],
    ['a footnote', '1\tVDD(1)\n2\tVSS²'],
    ['two packages', '1\t3\tVDD\n2\t–\tVSS'],
  ])('%s', async (_, table) => {
    const done = await pinned(`pinout: x\n${table}$0\n`);
    const uncommented = done!.text.replace(/ {2}#.*$/gm, '');
    expect(uncommented).toBe('pinout: x\npins:\n  1: VDD\n  2: VSS\n');
  });

  test('several pins in a cell, the pad, a grid, shared pins; further columns become comments', async () => {
    const table = [
      'Pin No.\tName\tType\tDescription',
      '1, 16\tVSS\tP\tGround',
      '2-4\tNC\t–\tNot connected',
      '5\tPB3/SDA\tI/O\tPort, or two-wire data',
      'page 7 of 60',
      'Thermal pad\tGND\tP\t',
    ].join('\n');
    const done = await pinned(`pinout: x\npackage: qfn-16\npins:\n${table}$0\n`);
    expect(done!.text).toBe(
      [
        'pinout: x',
        'package: qfn-16',
        'pins:',
        '  # Pin No.\tName\tType\tDescription',
        '  1: VSS  # P, Ground',
        '  16: VSS  # P, Ground',
        '  2: NC  # –, Not connected',
        '  3: NC  # –, Not connected',
        '  4: NC  # –, Not connected',
        '  5: {name: PB3, alternates: [SDA]}  # I/O, Port, or two-wire data',
        '  # page 7 of 60',
        '  EP: GND  # P',
        '',
      ].join('\n'),
    );
    expect((await pins(done!.text)).at(-1)).toBe('EP GND ground');
    const balls = await pinned('pinout: x\nA1 P3$0\nA2 VDD\nB1, B2 VSS\n');
    expect(balls!.text).toBe('pinout: x\npins:\n  A1: P3\n  A2: VDD\n  B1: VSS\n  B2: VSS\n');
  });

  test('names that mean something to YAML are quoted, and read back as they stand', async () => {
    const names = ['#CS', '!WR', '*x', '-', 'A:', '~RST', '{x}', '"Q', '/OE', 'NO', '3V3'];
    const done = await pinned(`pinout: x\npins:\n${names.map((name, i) => `${i + 1}\t${name}`).join('\n')}$0\n`);
    const { pinout } = await analysePinout(done!.text);
    // A dash names nothing: that line stays as a comment.
    expect([...pinout!.pins.values()].map((pin) => pin.name)).toEqual(names.filter((name) => name !== '-'));
  });

  test('a pin that is there already is not written twice', async () => {
    const done = await pinned('pinout: x\npins:\n  1: VDD\n1\tVCC$0\n2\tVSS\n2\tGND\n');
    expect(done!.text).toBe(
      'pinout: x\npins:\n  1: VDD\n  # 1: VCC (pin 1 is there already)\n  2: VSS\n  # 2: GND (pin 2 is there already)\n',
    );
  });

  test('keys of modes are no pins', async () => {
    const done = await pinned('pinout: x\npins:\n  13: OUT\n2 VSS$0\nmodes:\n  a:\n    2: {left: 1}\n');
    expect(done!.text).toBe('pinout: x\npins:\n  13: OUT\n  2: VSS\nmodes:\n  a:\n    2: {left: 1}\n');
  });

  test('pasted below another key it goes behind the pins; line ends are kept', async () => {
    const done = await pinned('pinout: x\r\npins:\r\n    1: VDD\r\nmodes: {}\r\n2 VSS\r\n3 DACL$0');
    expect(done!.text).toBe('pinout: x\r\npins:\r\n    1: VDD\r\n    2: VSS\r\n    3: DACL\r\nmodes: {}');
  });

  test('what is selected, entries among it kept as they are', async () => {
    const done = await pinned('pinout: x\npins:\n§  1 VDD\n  2:\n    name: VSS\n  3 DACL\n$0modes: {}\n');
    expect(done!.text).toBe('pinout: x\npins:\n  1: VDD\n  2:\n    name: VSS\n  3: DACL\nmodes: {}\n');
  });

  test('a single line among the pins is a pin too; elsewhere it may be anything', async () => {
    expect((await pinned('pinout: x\npins:\n  13 DACR$0\n'))!.text).toBe('pinout: x\npins:\n  13: DACR\n');
    expect(await pinned('pinout: x\n13 DACR$0\n')).toBeUndefined();
  });

  test.each([
    ['entries', 'pinout: x\npins:\n  1: VDD$0\n  2: VSS\n'],
    ['a key of the file', 'pinout: x$0\n'],
    ['prose', 'pinout: x\n16 pins in total, of which$0\n4 pins are supplies and so on\n'],
    ['pins in brackets', 'pinout: x\npins: {1: VDD}\n2 VSS$0\n3 DACL\n'],
    ['a list', 'pinout: x\nmarkings:\n  - 1 VDD$0\n  - 2 VSS\n'],
    ['nothing', '$0'],
  ])('nothing is offered on %s', async (_, text) => {
    expect(await pinned(text)).toBeUndefined();
  });

  test('long runs of blanks and signs are done with at once', () => {
    for (const sign of [' ', '\t', '- ', '| ', ', ', '1,', '1-', '(1)', 'A1 '])
      expect(pinRows([`VDD${sign.repeat(150)}x`, `1${sign.repeat(150)}x`, `1 X${sign.repeat(150)}`])).toHaveLength(3);
  });

  test('whatever is pasted, the result parses and every row is a pin of that name', async () => {
    const cell = fc.stringMatching(/^[ -~µΩ–]{0,12}$/);
    const row = fc.tuple(fc.integer({ min: 1, max: 64 }), fc.constantFrom('\t', ' | ', ',', '  ', ' '), cell, cell);
    await fc.assert(
      fc.asyncProperty(fc.array(row, { minLength: 2, maxLength: 8 }), async (rows) => {
        const lines = rows.map(([pin, sep, name, rest]) => `${pin}${sep}${name}${sep}${rest}`);
        const done = await pinned(`pinout: x\npins:\n${lines.join('\n')}$0\n`.replaceAll('§', ''));
        if (!done) return;
        const { value, problems } = parsePinout(done.text);
        // A line that reads as an entry already is left as it was pasted.
        if (lines.some((line) => /^\s*["']?[\w-]+["']?:([ \t]|$)/.test(line))) return;
        expect(problems.map((one) => one.message)).toEqual([]);
        const seen = new Set<string>();
        const wanted = pinRows(lines).flatMap((found) =>
          (found?.pins ?? []).flatMap((pin) => (seen.has(pin) || !seen.add(pin) ? [] : [[pin, found!.name]])),
        );
        const read = value.value!.pins?.value?.map(({ key, value: of }) => [
          key.text,
          of.scalar?.value ?? of.map?.value?.name?.value,
        ]);
        expect(read ?? []).toEqual(wanted);
      }),
      { numRuns: 150, seed: 6 },
    );
  });
});
