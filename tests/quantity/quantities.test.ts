import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseQuantities } from '../../server/src/quantity/quantities';

const forms = {
  lead: ['resistance', 'capacitance'],
  further: ['voltage', 'current', 'power', 'percent', 'ppm', 'frequency'],
} as const;

const read = (text: string) => {
  const { lead, further, words } = parseQuantities(text, forms);
  const show = (part: typeof lead) =>
    part?.quantity ? `${part.quantity.value} ${part.quantity.unit}` : part?.problem?.check;
  return [show(lead), ...further.map(show), ...words.map(({ text: word }) => `(${word})`)].join(', ');
};

describe('short forms', () => {
  // Short forms as parts lists and bench notes have them: common practice, no source.
  test.each([
    ['470', '470 Ω'],
    ['22 uF 6.3 V', '0.000022 F, 6.3 V'],
    ['22 uF 6.3 V 10 %', '0.000022 F, 6.3 V, 10 %'],
    ['22u 6V3 10%', '0.000022 F, 6.3 V, 10 %'],
    ['22u/16V', '0.000022 F, 16 V'],
    ['470 1% 0.25 W', '470 Ω, 1 %, 0.25 W'],
    ['470, 1 %, 1/4 W', '470 Ω, 1 %, 0.25 W'],
    ['4,7 k ±5%', '4700 Ω, 5 %'],
    ['22u +/- 10 %', '0.000022 F, 10 %'],
    ['4.7 k ohm 5%', '4700 Ω, 5 %'],
    ['10 µF 16 V DC', '0.00001 F, 16 V'],
    ['600 ohm @ 100 MHz', '600 Ω, 100000000 Hz'],
    ['100 nF X7R 50V film', '1e-7 F, 50 V, (X7R), (film)'],
    ['22 uF 5', '0.000022 F, bad-quantity'],
    ['22 uF 5 nH', '0.000022 F, wrong-unit'],
    ['10 MF 16 V', 'bad-quantity, 16 V'],
    ['fw2210', 'bad-quantity'],
  ])('%s', (text, wanted) => expect(read(text)).toBe(wanted));

  test('nothing at all', () => expect(parseQuantities('  ', forms)).toEqual({ further: [], words: [] }));

  test('any text: parts lie in the text in order, apart from each other, and say what they hold', () => {
    const likely = fc.string({ unit: fc.constantFrom(...'0123456789.,;@/+-± kmuFVW%Ω') });
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), likely), (text) => {
        const { lead, further, words } = parseQuantities(text, forms);
        const parts = [...(lead ? [lead] : []), ...further, ...words].sort((a, b) => a.start - b.start);
        let last = 0;
        for (const { start, end, text: said } of parts) {
          expect(start).toBeGreaterThanOrEqual(last);
          expect(text.slice(start, end)).toBe(said);
          expect(said).not.toBe('');
          last = end;
        }
        const left = parts.reduceRight((rest, { start, end }) => rest.slice(0, start) + rest.slice(end), text);
        expect(left.replace(/[\s@;,/]/g, '')).toBe('');
      }),
      { numRuns: 1000 },
    );
  });
});
