import { describe, expect, it } from 'vitest';
import { boardOf, problemsOf } from './boards';

const part = (entry: string, designator = entry.slice(0, entry.indexOf(':'))) => {
  const board = boardOf(`parts:\n  ${entry}\n`);
  return { part: board.at().parts.get(designator)!, problems: problemsOf(board) };
};

describe('parts', () => {
  it.each([
    ['R1: 4k7', 4700],
    ['R1: 0R47', 0.47],
    ['C7: 22 uF 6.3 V', 22e-6],
    ['C1: 4n7', 4.7e-9],
    ['L1: 10 uH', 1e-5],
    ['FB1: 600', 600],
    ['Y1: 12 MHz', 12e6],
    ['F1: 500 mA', 0.5],
    ['BT1: 3V7', 3.7],
    ['LS1: 8', 8],
    ['RV1: 10 k', 1e4],
  ])('%s has the value %d', (entry, value) => {
    const { part: found, problems } = part(entry);
    expect(problems).toEqual([]);
    expect(found.value?.value).toBeCloseTo(value, 15);
  });

  it('what is more than a value is told where it belongs', () => {
    const told = (entry: string) => part(entry).problems;
    expect(told('C7: {value: 22 uF 6.3 V}')).toEqual([
      expect.stringContaining('write `C7: 22 uF 6.3 V`, or `rating: 6.3 V` beside `value: 22 uF`'),
    ]);
    expect(told('R9: {value: not fitted}')).toEqual([expect.stringContaining('`R9: not-fitted`')]);
    expect(told('R9: {value: 22 uF}')).toEqual([expect.not.stringContaining('More than')]);
  });

  it('further quantities of a short form are rating and tolerance', () => {
    const { part: found } = part('C7: 22 uF 6.3 V 20 %');
    expect(found.ratings.map((rating) => [rating.value, rating.dimension])).toEqual([[6.3, 'voltage']]);
    expect(found.tolerance).toBeCloseTo(0.2, 12);
    expect(part('R1: 470 0.25 W 1%').part.ratings[0]).toMatchObject({ value: 0.25, dimension: 'power' });
    expect(part('Y1: 12 MHz 30 ppm').part.tolerance).toBeCloseTo(30e-6, 12);
  });

  it.each([
    ['R1', 'resistor'],
    ['IC3', 'chip'],
    ['U1', 'chip'],
    ['CN2', 'connector'],
    ['X1', 'connector'],
    ['P1', 'connector'],
    ['BR1', 'rectifier-bridge'],
    ['VR1', 'potentiometer'],
    ['LED3', 'led'],
    ['K1', 'relay'],
    ['MK1', 'microphone'],
    ['TP9', 'test-point'],
    ['SHIELD', undefined],
  ])('%s is a %s', (designator, kind) => {
    expect(part(`${designator}: {}`, designator).part.kind).toBe(kind);
  });

  it('kind overrides the letters', () => {
    expect(part('D1: {kind: tvs}').part.kind).toBe('tvs');
  });

  it('printed codes: IEC 60062 letters, three and four digits, EIA-96', () => {
    // Values: the standards' own worked spellings (IEC 60062 letter code, EIA-96 01C = 100 × 100).
    for (const [code, ohms] of [
      ['"102"', 1000],
      ['4R7', 4.7],
      ['1002', 10e3],
      ['01C', 10e3],
      ['000', 0],
    ] as const)
      expect(part(`R1: {code: ${code}}`).part.value?.value, code).toBeCloseTo(ohms, 9);
    expect(part('C1: {code: 104}').part.value?.value).toBeCloseTo(100e-9, 15);
  });

  it('a value that its code contradicts is a finding, and then unknown rather than guessed', () => {
    const { part: found, problems } = part('R1: {value: 4.7 mohm, code: 475}');
    expect(problems).toEqual([expect.stringMatching(/^bad-quantity /)]);
    expect(found.value).toBeUndefined();
    expect(found.valueBroken).toBe(true);
    expect(part('R1: {value: 4.7 Mohm, code: 475}').problems).toEqual([]);
  });

  it('not-fitted and ~ are empty pads', () => {
    expect(part('C1: not-fitted').part.fitted).toBe(false);
    expect(part('C1: ~').part.fitted).toBe(false);
    expect(part('C1: 10 uF').part.fitted).toBe(true);
    expect(part('C1:').part.fitted).toBe(true);
  });

  it.each([
    ['jack-ts', '', { tip: 'mono', sleeve: 'common' }],
    ['jack-trs', '', { tip: 'left', ring: 'right', sleeve: 'common', detect: 'switch' }],
    ['jack-trs', 'balanced', { tip: 'hot', ring: 'cold', sleeve: 'common' }],
    ['jack-trrs', '', { tip: 'left', ring1: 'right', ring2: 'common', sleeve: 'microphone' }],
    ['jack-trrs', 'mic-on-sleeve', { ring2: 'common', sleeve: 'microphone' }],
    ['jack-trrs', 'mic-on-ring2', { ring2: 'microphone', sleeve: 'common' }],
    ['rca', '', { centre: 'mono', shell: 'common' }],
    ['xlr-3', '', { 1: 'common', 2: 'hot', 3: 'cold', shell: 'shell' }],
    ['barrel', '', { centre: 'power', sleeve: 'ground' }],
    ['usb-c', '', { vbus: 'power', gnd: 'ground', cc1: 'data', dp: 'data' }],
  ] as const)('%s %s brings its contacts', (style, wiring, duties) => {
    const { part: found, problems } = part(`J1: {style: ${style}${wiring === '' ? '' : `, wiring: ${wiring}`}}`);
    expect(problems).toEqual([]);
    for (const [contact, duty] of Object.entries(duties)) {
      expect(found.contacts).toContain(contact);
      expect(found.duty(contact), contact).toBe(duty);
    }
  });
});
