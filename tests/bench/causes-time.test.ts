import { describe, expect, test } from 'vitest';
import type { RecordingFigures } from '../../server/src/signal/figures';
import { boardOf, diagnose } from '../diagnosis/causes/bench';
import { faultsOf } from '../diagnosis/causes/generator/faults';
import { channel, drawSpecimen, figuresOf, nominal, simulate, withNoise } from '../diagnosis/causes/generator/simulate';
import { captures, Draw, drawWorld, tuned } from '../diagnosis/causes/generator/world';

describe('a board of sixty parts with eight captures', () => {
  test('diagnosed in full', () => {
    const world = drawWorld(12, tuned, 60);
    const draw = new Draw(1);
    const times: string[] = [];
    for (const wanted of ['output-mode', 'open', 'common-return', 'none']) {
      const fault = faultsOf(world).find(({ cause }) => cause === wanted);
      const seen = withNoise(
        simulate(world, fault ? drawSpecimen(world, draw) : nominal, fault?.form(draw) ?? {}),
        draw,
      );
      const figures = figuresOf(seen);
      let text = world.text.replace('READING', '3.3 V');
      // The same four once more, as a second session would have them.
      for (const [c, { name, hertz }] of captures.entries()) {
        const line = new RegExp(`^  ${name}: .*$`, 'm').exec(text)![0];
        text += `${line.replace(`${name}:`, `${name}-again:`)}\n`;
        const again = withNoise(seen, draw)[c]!;
        const made = {
          channels: again.map((value, k) => channel(`${k + 1}`, hertz, value)),
          pairs: [],
          sequence: null,
        };
        figures.set(`${name}-again`, made as unknown as RecordingFigures);
      }
      const board = boardOf(text, world.pinout);
      expect(board.captures).toHaveLength(8);
      expect(board.at().parts.size).toBeGreaterThanOrEqual(60);
      const [before, began] = [process.cpuUsage(), performance.now()];
      diagnose({ board, figures });
      const { user, system } = process.cpuUsage(before);
      // Only the first of all is a first run: nothing is compiled yet.
      if (times.length === 0)
        times.push(
          `first run ${(performance.now() - began).toFixed(0)} ms (${((user + system) / 1000).toFixed(0)} ms of CPU)`,
        );
      const runs = Array.from({ length: 5 }, () => {
        const fresh = boardOf(text, world.pinout);
        const start = performance.now();
        diagnose({ board: fresh, figures });
        return performance.now() - start;
      }).sort((a, b) => a - b);
      times.push(`${wanted} ${runs[2]!.toFixed(0)} ms`);
    }
    console.log(`60 parts, 8 captures; ${times[0]}; then, median of 5: ${times.slice(1).join(', ')}`);
  });
});
