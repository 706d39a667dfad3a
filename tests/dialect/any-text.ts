import fc from 'fast-check';
import { board, more, pinout } from './texts';

const whole = `${board}${more}`;

/** What people and editors do to a text: signs put in, stretches taken out, doubled, moved, cut off. */
const signs = [
  ...'{}[]:,#-"\'&*!|>%@`?\t\n \r~.=+0aZµ\u2126\ufeff\ud800',
  ': ',
  ' #',
  '- ',
  '\n- ',
  '\n  ',
  '---\n',
  '...\n',
  '<<: ',
];
const mutation = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  length: fc.nat(12),
  put: fc.oneof(fc.constantFrom(...signs), fc.constant(''), fc.string({ maxLength: 6 })),
});
const mutant = (text: string) =>
  fc.array(mutation, { minLength: 1, maxLength: 4 }).map((mutations) => {
    let result = text;
    for (const { at, length, put } of mutations) {
      const start = Math.floor(at * result.length);
      result = result.slice(0, start) + put + result.slice(start + length);
    }
    return result;
  });
const soup = fc
  .array(fc.constantFrom(...signs, 'board', 'parts', 'U1', 'note', '470'), { maxLength: 60 })
  .map((parts) => parts.join(''));
export const anyText = fc.oneof(mutant(whole), mutant(pinout), soup, fc.string({ maxLength: 200, unit: 'binary' }));
