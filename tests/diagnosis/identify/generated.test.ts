import { describe, expect, test } from 'vitest';
import { identify } from '../../../server/src/diagnosis/identify/identify';
import { observe } from '../../../server/src/diagnosis/identify/observe';
import { posterior } from '../../../server/src/diagnosis/identify/posterior';
import { board } from './at-bench';
import { asText } from './generator/as-text';
import { duties, playback } from './generator/habits';
import { offers } from './generator/trial';
import { World } from './generator/world';

describe('a generated board, written down as text', () => {
  const world = new World({ mix: playback, duties, wrong: [0.05] }, 404);
  const boards = Array.from({ length: 24 }, () => world.board({ candidates: 8 }));

  test.each(boards.map((each, index) => [index, each] as const))(
    '%i: shows what the generator showed, pin by pin',
    (_, { candidates, shown }) => {
      const pinout = candidates[0]!.pinout;
      const made = board(asText(shown, pinout.name), ...candidates.map((chip) => chip.pinout));
      expect(made.problems).toEqual([]);
      const seen = new Map(observe(made, made.at().parts.get('U1')!).map((pin) => [pin.pin, pin]));
      for (const one of shown) {
        const own = seen.get(one.seen.pin);
        const { kind, side, volts } = one.seen.copper ?? {};
        expect([one.seen.pin, own?.copper?.kind, own?.copper?.side, own?.copper?.volts]).toEqual([
          one.seen.pin,
          kind,
          side,
          volts,
        ]);
        if (one.dc !== undefined) expect(own?.dc?.volts).toBeCloseTo(one.dc, 2);
      }
    },
  );

  test('and is weighed as the generator’s own observations are, but for volts that pins share', () => {
    for (const { candidates, shown } of boards) {
      const few = shown.slice(0, 8).filter((one) => one.lead?.rail === undefined && one.dc === undefined);
      const names = candidates.map((chip) => chip.pinout.name);
      const text = asText(few, 'none-of-them').replace('pinout: none-of-them', `candidates: [${names.join(', ')}]`);
      const [part] = identify(board(text, ...candidates.map((chip) => chip.pinout))).parts;
      const direct = posterior({ seen: few.map((one) => one.seen) }, offers(candidates));
      expect(part!.none).toBeCloseTo(direct.none, 9);
      expect(part!.candidates[0]!.probability).toBeCloseTo(direct.hypotheses[0]!.probability, 9);
    }
  });
});
