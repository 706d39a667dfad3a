import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { allDimensions, type Dimension, dimensions } from '../../server/src/quantity/dimension';
import { parseQuantity } from '../../server/src/quantity/quantity';

/** Forms the trade writes: common practice, no source, but for the letter as decimal point (IEC 60062) and prefixes (SI brochure). */
const forms: Record<string, [Dimension, number]> = {
  '4k7': ['resistance', 4700],
  '4.7k': ['resistance', 4700],
  '4.7 kΩ': ['resistance', 4700],
  '4.7 k\u2126': ['resistance', 4700],
  '4.7 kohm': ['resistance', 4700],
  '4.7 K': ['resistance', 4700],
  '4.7 kilohms': ['resistance', 4700],
  '4,7 k': ['resistance', 4700],
  R47: ['resistance', 0.47],
  '0R47': ['resistance', 0.47],
  '470R': ['resistance', 470],
  '2M2': ['resistance', 2.2e6],
  '1 Meg': ['resistance', 1e6],
  '0.3 ohm': ['resistance', 0.3],
  '20 mohm': ['resistance', 0.02],
  '1e3': ['resistance', 1000],
  '047': ['resistance', 47],
  '100n': ['capacitance', 100e-9],
  '100 nF': ['capacitance', 100e-9],
  '100NF': ['capacitance', 100e-9],
  '4n7': ['capacitance', 4.7e-9],
  '10 \u00b5F': ['capacitance', 10e-6],
  '10 \u03bcF': ['capacitance', 10e-6],
  '10u': ['capacitance', 10e-6],
  '10UF': ['capacitance', 10e-6],
  p33: ['capacitance', 0.33e-12],
  µ33: ['capacitance', 0.33e-6],
  '4m7': ['capacitance', 4.7e-3],
  '22e-6': ['capacitance', 22e-6],
  '0,047 uF': ['capacitance', 47e-9],
  '2H2': ['inductance', 2.2],
  '10 uH': ['inductance', 10e-6],
  '3V3': ['voltage', 3.3],
  '3.3 V': ['voltage', 3.3],
  '20 mV': ['voltage', 0.02],
  '-15V': ['voltage', -15],
  '\u221215 V': ['voltage', -15],
  '.5 volts': ['voltage', 0.5],
  '0.9 V RMS': ['voltage', 0.9],
  '0.9 Vrms': ['voltage', 0.9],
  '12 VDC': ['voltage', 12],
  '2A5': ['current', 2.5],
  '500 mA': ['current', 0.5],
  '1/4 W': ['power', 0.25],
  '0W25': ['power', 0.25],
  '-10 dBV': ['level', -10],
  '+4 dBu': ['level', 4],
  '-12 dBFS': ['level', -12],
  '-12 dB FS': ['level', -12],
  '997 Hz': ['frequency', 997],
  '12 MHz': ['frequency', 12e6],
  '12 MHZ': ['frequency', 12e6],
  '32k768': ['frequency', 32768],
  '30 ppm': ['ppm', 30],
  '5 %': ['percent', 5],
  '±5 %': ['percent', 5],
  '+/-5%': ['percent', 5],
  '40 dB': ['ratio-db', 40],
  '20 ms': ['time', 0.02],
};

describe('quantities as the trade writes them', () => {
  test.each(Object.entries(forms))('%s', (text, [dimension, value]) => {
    const { quantity, problem } = parseQuantity(text, [dimension]);
    expect(problem).toBeUndefined();
    expect(quantity).toMatchObject({ dimension, value, text });
  });

  test('a level keeps its unit, all else is in the base unit', () => {
    expect(parseQuantity('-10 dBV', ['level']).quantity?.unit).toBe('dBV');
    expect(parseQuantity('4 DBU', ['level']).quantity?.unit).toBe('dBu');
    expect(parseQuantity('-12', ['level']).quantity?.unit).toBe('dBFS');
    expect(parseQuantity('20 mV', ['level', 'voltage']).quantity).toMatchObject({ unit: 'V', dimension: 'voltage' });
  });

  test('a bare number is in the base unit of the first dimension, where one will do', () => {
    expect(parseQuantity('470', ['resistance', 'voltage']).quantity).toMatchObject({ value: 470, unit: 'Ω' });
    expect(parseQuantity('12', ['voltage', 'resistance']).quantity).toMatchObject({ value: 12, unit: 'V' });
    expect(parseQuantity('12', ['voltage'], { bare: false }).problem?.check).toBe('bad-quantity');
  });

  test('what the writer said of AC and DC is kept', () => {
    expect(parseQuantity('1 V RMS', ['voltage']).quantity?.current).toBe('ac');
    expect(parseQuantity('1 VAC', ['voltage']).quantity?.current).toBe('ac');
    expect(parseQuantity('3.3 VDC', ['voltage']).quantity?.current).toBe('dc');
    expect(parseQuantity('3.3 V', ['voltage']).quantity?.current).toBeUndefined();
  });
});

describe('what is not taken', () => {
  test.each([
    ['10 MF', 'capacitance', '10 µF'],
    ['10 mF', 'capacitance', '10 µF'],
    ['10 m', 'capacitance', '10 µF'],
    ['4M7', 'capacitance', '4.7 µF'],
    ['10 MFD', 'capacitance', '10 µF'],
    ['47 mmF', 'capacitance', '47 pF'],
    ['22', 'capacitance', '22 µF'],
    ['12 mHz', 'frequency', '12 MHz'],
    ['12mhz', 'frequency', '12 MHz'],
    ['10 MH', 'inductance', '10 mH'],
    ['20 MV', 'voltage', '20 mV'],
    ['500 MA', 'current', '500 mA'],
    ['-10 dBv', 'level', '-10 dBV'],
    ['-4k7', 'resistance', '4k7'],
    ['1,000', 'resistance', '1000'],
    ['±5 V', 'voltage', '5 V'],
  ] as const)('%s is a likely slip: told, not guessed', (text, dimension, suggestion) => {
    const { quantity, problem } = parseQuantity(text, [dimension]);
    expect(quantity).toBeUndefined();
    expect(problem).toMatchObject({ check: 'bad-quantity', suggestion });
    expect(problem!.message).toContain(`"${text}"`);
    expect(parseQuantity(suggestion, [dimension]).quantity, 'a suggestion is itself right').toBeDefined();
  });

  test.each([
    '',
    '  ',
    'banana',
    'k',
    '-',
    '4k7x',
    '4k7k',
    '1.2.3',
    '4..7',
    '1N4148',
    '2N3904',
    '5532E4x',
    '100n',
    '3.3 vlts',
    '1e999',
  ])('"%s" is no resistance', (text) => {
    const { problem } = parseQuantity(text, ['resistance']);
    expect(problem?.check).toBe('bad-quantity');
    expect(problem?.message).toContain('4k7');
  });

  test.each([
    ['3V3', 'resistance'],
    ['4R7', 'voltage'],
    ['100 nF', 'resistance'],
    ['-12 dB', 'level'],
    ['-12 dBV', 'ratio-db'],
    ['4 dBm', 'level'],
    ['3 kg', 'voltage'],
    ['800 mAh', 'voltage'],
    ['2 Vpp', 'voltage'],
    ['1 V peak', 'voltage'],
  ] as const)('%s is the wrong unit for a %s', (text, dimension) => {
    expect(parseQuantity(text, [dimension]).problem?.check).toBe('wrong-unit');
  });

  test('the message names what was expected', () => {
    expect(parseQuantity('3V3', ['resistance']).problem?.message).toBe(
      '"3V3" gives voltage in volts; expected resistance in ohms, such as 4k7',
    );
    expect(parseQuantity('-12 dB', ['level']).problem?.message).toContain('dBV, dBu or dBFS');
  });

  // A sine of 1 V RMS is 2.828 V peak to peak: definition.
  test('how an amplitude is counted follows the key', () => {
    expect(parseQuantity('2.828 Vpp', ['voltage']).problem?.message).toContain('1 V RMS');
    expect(parseQuantity('20 mVpp', ['voltage'], { amplitude: 'peak-to-peak' }).quantity?.value).toBe(0.02);
    expect(parseQuantity('1.42 V peak', ['voltage'], { amplitude: 'peak' }).quantity?.value).toBe(1.42);
    expect(parseQuantity('1 Vrms', ['voltage'], { amplitude: 'peak' }).problem?.message).toContain('1.41 V peak');
  });
});

describe('properties', () => {
  const dimension = fc.constantFrom(...allDimensions);
  const likely = fc.string({ unit: fc.constantFrom(...'0123456789.,+-−±eE/ kKmMµunpRVFHzAWdBus%Ω') });
  const written = fc.tuple(fc.integer({ min: 1, max: 999 }), dimension, fc.nat()).map(([digits, name, pick]) => {
    const { prefixes, spellings } = dimensions[name];
    const unit = `${prefixes[pick % prefixes.length]}${spellings[pick % spellings.length]}`;
    return { name, digits, unit };
  });

  test('any text gives a quantity or a problem, never both, and never throws', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), likely), fc.array(dimension), (text, wanted) => {
        const { quantity, problem } = parseQuantity(text, wanted);
        expect((quantity === undefined) !== (problem === undefined)).toBe(true);
        if (quantity) {
          expect(Number.isFinite(quantity.value)).toBe(true);
          expect(wanted).toContain(quantity.dimension);
        }
      }),
      { numRuns: 2000 },
    );
  });

  test('every prefix and spelling of the table is read in its own dimension, and is a wrong unit in all others', () => {
    fc.assert(
      fc.property(written, dimension, ({ name, digits, unit }, other) => {
        for (const text of [`${digits} ${unit}`, `${digits}${unit}`]) {
          expect(parseQuantity(text, [name]).quantity?.dimension, text).toBe(name);
          if (other !== name)
            expect(parseQuantity(text, [other]).problem?.check, `${text} as ${other}`).toBe('wrong-unit');
        }
      }),
      { numRuns: 1000 },
    );
  });

  test('both code points of µ and of Ω, and both minus signs, read the same', () => {
    fc.assert(
      fc.property(likely, dimension, (text, name) => {
        const twin = text.replaceAll('µ', '\u03bc').replaceAll('Ω', '\u2126').replaceAll('-', '\u2212');
        const plain = text.replaceAll('−', '-');
        const bare = ({ quantity, problem }: ReturnType<typeof parseQuantity>) => [quantity?.value, problem?.check];
        expect(bare(parseQuantity(twin, [name]))).toEqual(bare(parseQuantity(plain, [name])));
      }),
    );
  });

  test('a letter for the point and a point before the letter are one value', () => {
    const digits = fc.nat({ max: 999 });
    fc.assert(
      fc.property(digits, fc.constantFrom('k', 'M', 'R'), digits, (a, letter, b) => {
        const code = parseQuantity(`${a}${letter}${b}`, ['resistance']).quantity!.value;
        expect(parseQuantity(`${a}.${b} ${letter}`, ['resistance']).quantity!.value).toBe(code);
      }),
    );
  });
});
