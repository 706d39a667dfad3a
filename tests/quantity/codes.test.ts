import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type CodeDimension, decodeCode } from '../../server/src/quantity/codes';
import { parseQuantity } from '../../server/src/quantity/quantity';
import { slipAgainstCode } from '../../server/src/quantity/slip';

/** EIA-96: place in E96, as printed in open code tables (their two known misprints, 24 = 178 and 48 = 316, put right). */
const eia96 = `
    01=100 02=102 03=105 04=107 05=110 06=113 07=115 08=118 09=121 10=124 11=127 12=130
    13=133 14=137 15=140 16=143 17=147 18=150 19=154 20=158 21=162 22=165 23=169 24=174
    25=178 26=182 27=187 28=191 29=196 30=200 31=205 32=210 33=215 34=221 35=226 36=232
    37=237 38=243 39=249 40=255 41=261 42=267 43=274 44=280 45=287 46=294 47=301 48=309
    49=316 50=324 51=332 52=340 53=348 54=357 55=365 56=374 57=383 58=392 59=402 60=412
    61=422 62=432 63=442 64=453 65=464 66=475 67=487 68=499 69=511 70=523 71=536 72=549
    73=562 74=576 75=590 76=604 77=619 78=634 79=649 80=665 81=681 82=698 83=715 84=732
    85=750 86=768 87=787 88=806 89=825 90=845 91=866 92=887 93=909 94=931 95=953 96=976`
  .trim()
  .split(/\s+/)
  .map((pair) => pair.split('='));

/** EIA-96 multipliers; open code tables. */
const multipliers = 'Z=0.001 Y=0.01 R=0.01 X=0.1 S=0.1 A=1 B=10 H=10 C=100 D=1000 E=10000 F=100000'
  .split(' ')
  .map((pair) => pair.split('=') as [string, string]);

const only = (code: string, dimension: CodeDimension) => {
  const { readings, problem } = decodeCode(code, dimension);
  expect(problem, code).toBeUndefined();
  expect(readings.length, code).toBe(1);
  return readings[0]!;
};
const near = (value: number, wanted: number) => expect(Math.abs(value / wanted - 1)).toBeLessThan(1e-12);

describe('EIA-96', () => {
  test('all 96 places with all multipliers', () => {
    expect(eia96.length).toBe(96);
    for (const [place, digits] of eia96)
      for (const [letter, factor] of multipliers)
        for (const code of [place + letter, (place + letter).toLowerCase()]) {
          const found = decodeCode(code, 'resistance').readings.find(({ scheme }) => scheme === 'EIA-96')!;
          near(found.value, Number(digits) * Number(factor));
          expect(found.tolerance).toBe(0.01);
        }
  });

  // Examples printed beside open code tables; 01Y = 0.01 Ω of one of them is wrong.
  test.each([
    ['01A', 100],
    ['39D', 249e3],
    ['68X', 49.9],
    ['12x', 13],
    ['01Y', 1],
    ['10A', 124],
  ])('%s', (code, ohms) => near(only(code, 'resistance').value, ohms));

  test('places that do not exist are no code', () => {
    for (const code of ['00A', '97A', '99C', '1A', '001A'])
      expect(decodeCode(code, 'resistance')).toMatchObject({ readings: [], problem: expect.stringContaining(code) });
  });
});

describe('resistors', () => {
  // IEC 60062:2016 examples, as encyclopaedias repeat them; L for milliohms from memory.
  test.each([
    ['R47', 0.47],
    ['4R7', 4.7],
    ['470R', 470],
    ['4K7', 4700],
    ['4k7', 4700],
    ['47K', 47e3],
    ['47K3', 47.3e3],
    ['470K', 470e3],
    ['4M7', 4.7e6],
    ['L47', 0.47e-3],
    ['12R0', 12],
    ['R22', 0.22],
    ['R005', 0.005],
    ['1G0', 1e9],
  ])('IEC 60062 %s', (code, ohms) => {
    near(only(code, 'resistance').value, ohms);
    expect(only(code, 'resistance').scheme).toBe('IEC 60062');
  });

  // Digit codes: test-set manual GDS-200 p. 178 for 220 and 12R0; the others follow from the rule.
  test.each([
    ['103', 10e3, 'three-digit'],
    ['220', 22, 'three-digit'],
    ['102', 1000, 'three-digit'],
    ['475', 4.7e6, 'three-digit'],
    ['100', 10, 'three-digit'],
    ['1002', 10e3, 'four-digit'],
    ['2200', 220, 'four-digit'],
    ['4751', 4750, 'four-digit'],
  ] as const)('%s', (code, ohms, scheme) => {
    near(only(code, 'resistance').value, ohms);
    expect(only(code, 'resistance').scheme).toBe(scheme);
  });

  test('zeros are a link', () => {
    for (const code of ['0', '000', '0000', '0R0']) expect(only(code, 'resistance').value).toBe(0);
  });

  // IEC 60062 letters, as vendors' code pages list them.
  test('tolerance letters', () => {
    const letters = {
      A: 0.0005,
      B: 0.001,
      C: 0.0025,
      D: 0.005,
      F: 0.01,
      G: 0.02,
      H: 0.03,
      J: 0.05,
      K: 0.1,
      M: 0.2,
      N: 0.3,
    };
    for (const [letter, tolerance] of Object.entries(letters))
      expect(only(`4K7${letter}`, 'resistance')).toMatchObject({ value: 4700, tolerance });
    expect(only('1002F', 'resistance')).toMatchObject({ value: 10e3, tolerance: 0.01 });
    expect(only('103J', 'resistance')).toMatchObject({ value: 10e3, tolerance: 0.05 });
  });

  test.each([
    ['22R', 22, 1.65],
    ['47R', 47, 3.01],
    ['10R', 10, 1.24],
    ['104K', 104e3, 100e3],
    ['472K', 472e3, 4700],
  ])('%s has two readings and none is taken', (code, first, second) => {
    const { readings, problem } = decodeCode(code, 'resistance');
    expect(readings.map(({ value }) => value)).toEqual([first, second]);
    expect(problem).toContain('measure it');
  });

  test('01R is 1 Ω either way: two readings, no quarrel', () => {
    const { readings, problem } = decodeCode('01R', 'resistance');
    expect(readings.map(({ value }) => value)).toEqual([1, 1]);
    expect(problem).toBeUndefined();
  });

  test('no code: nothing is made of it', () => {
    for (const code of ['', 'R', '047', '47', 'banana', '12345', '4K7KK', '-102', '1.5'])
      expect(decodeCode(code, 'resistance'), code).toMatchObject({ readings: [], problem: expect.any(String) });
  });
});

describe('capacitors', () => {
  // EIA three-digit codes in pF; from memory, the principle from a vendor's page on 564K.
  test.each([
    ['104', 100e-9],
    ['103', 10e-9],
    ['105', 1e-6],
    ['225', 2.2e-6],
    ['470', 47e-12],
    ['471', 470e-12],
    ['101', 100e-12],
    ['479', 4.7e-12],
    ['478', 0.47e-12],
    ['564K', 560e-9],
    ['010', 1e-12],
    ['47', 47e-12],
    ['226', 22e-6],
  ])('%s', (code, farads) => near(only(code, 'capacitance').value, farads));

  // IEC 60062 capacitor examples; from memory.
  test.each([
    ['p33', 0.33e-12],
    ['3p3', 3.3e-12],
    ['33p', 33e-12],
    ['n33', 330e-12],
    ['3n3', 3.3e-9],
    ['100n', 100e-9],
    ['\u00b533', 0.33e-6],
    ['\u03bc33', 0.33e-6],
    ['u33', 0.33e-6],
    ['3\u00b53', 3.3e-6],
    ['4N7', 4.7e-9],
  ])('%s', (code, farads) => near(only(code, 'capacitance').value, farads));

  test('tolerance letters, per cent, picofarads and lopsided ones', () => {
    expect(only('104K', 'capacitance')).toMatchObject({ value: 100e-9, tolerance: 0.1 });
    expect(only('104M', 'capacitance').tolerance).toBe(0.2);
    expect(only('104F', 'capacitance').tolerance).toBe(0.01);
    near(only('479C', 'capacitance').tolerance!, 0.25 / 4.7);
    near(only('4R7B', 'capacitance').tolerance!, 0.1 / 4.7);
    near(only('109G', 'capacitance').tolerance!, 2);
    expect(only('100D', 'capacitance').tolerance).toBe(0.005); // 10 pF: per cent again
    const lopsided = { Q: [-0.1, 0.3], S: [-0.2, 0.5], T: [-0.1, 0.5], Z: [-0.2, 0.8] };
    for (const [letter, asymmetric] of Object.entries(lopsided))
      expect(only(`104${letter}`, 'capacitance')).toMatchObject({ value: 100e-9, asymmetric });
  });

  test.each([
    ['4R7', 4.7e-6, 4.7e-12],
    ['1000', 1e-9, 100e-12],
    ['100N', 100e-9, 10e-12],
  ])('%s is ambiguous', (code, a, b) => {
    const { readings, problem } = decodeCode(code, 'capacitance');
    expect(readings.map(({ value }) => value)).toEqual([a, b]);
    expect(problem).toContain('measure it');
  });

  test('220 is 22 pF, with a word about electrolytics', () => {
    expect(decodeCode('220', 'capacitance').note).toContain('220 µF');
    expect(decodeCode('224', 'capacitance').note).toBeUndefined();
  });
});

// Inductor codes count in µH, R and N standing for the point; common practice of data sheets, no source.
test.each([
  ['101', 100e-6],
  ['4R7', 4.7e-6],
  ['R47', 0.47e-6],
  ['4N7', 4.7e-9],
  ['220M', 22e-6],
  ['100K', 10e-6],
  ['2m2', 2.2e-3],
])('inductor %s', (code, henries) => near(only(code, 'inductance').value, henries));

describe('any text', () => {
  const dimension = fc.constantFrom<CodeDimension>('resistance', 'capacitance', 'inductance');
  const codeLike = fc.string({ unit: fc.constantFrom(...'0123456789RKMGTLJFApnuµm.-'), maxLength: 6 });

  test('gives finite readings or a problem, and never throws', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), codeLike), dimension, (code, kind) => {
        const { readings, problem } = decodeCode(code, kind);
        expect(readings.length > 0 || problem !== undefined).toBe(true);
        for (const { value } of readings) expect(Number.isFinite(value) && value >= 0).toBe(true);
        const apart = new Set(readings.map(({ value }) => value.toPrecision(9))).size > 1;
        expect(readings.length > 0 && problem !== undefined).toBe(apart);
      }),
      { numRuns: 500 },
    );
  });

  test('a letter for the point means the same as in a quantity', () => {
    const digits = fc.integer({ min: 1, max: 9 });
    fc.assert(
      fc.property(digits, fc.constantFrom('R', 'K', 'M'), digits, (a, letter, b) => {
        const code = `${a}${letter}${b}`;
        near(only(code, 'resistance').value, parseQuantity(code, ['resistance']).quantity!.value);
      }),
    );
  });
});

describe('a value against the code on the part', () => {
  const slip = (text: string, code: string) =>
    slipAgainstCode(parseQuantity(text, ['resistance']).quantity!, decodeCode(code, 'resistance').readings);

  test('a wrong prefix is told, with what was meant', () => {
    expect(slip('4.7 mohm', '475')?.suggestion).toBe('4.7 MΩ');
    expect(slip('4.7', '472')?.suggestion).toBe('4.7 kΩ');
    expect(slip('1M', '102')?.message).toContain('marked 1 kΩ');
  });

  test('agreement, another value and a link are no slip', () => {
    expect(slip('1k', '102')).toBe(null);
    expect(slip('4.75 k', '472')).toBe(null);
    expect(slip('2k2', '102')).toBe(null);
    expect(slip('10k', '102')).toBe(null);
    expect(slip('4.7', '000')).toBe(null);
  });
});
