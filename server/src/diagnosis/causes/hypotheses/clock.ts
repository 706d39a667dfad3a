import type { Bench } from '../bench';
import { odds } from '../priors';
import type { Hypothesis } from '../types';

/** Crystals that do not run: without a clock the chip that plays is silent, whether or not its outputs keep their bias. */
export function clockHypotheses({ copper, board }: Bench): Hypothesis[] {
  return [...copper.parts.values()].flatMap((crystal): Hypothesis[] => {
    if (!crystal.fitted || crystal.kind !== 'crystal') return [];
    const nodes = copper.nodes.filter((node) => node.pins.some(({ part }) => part === crystal));
    const clocked = new Set(nodes.flatMap((node) => node.pins.map(({ part }) => part.designator)));
    const outputs = board.outputs.filter(({ pin }) => clocked.has(pin.part.designator));
    if (outputs.length === 0) return [];
    const silent = (bias: boolean) => ({
      dead: [{ output: crystal.designator, bias: false }, ...outputs.map(({ name }) => ({ output: name, bias }))],
    });
    return [
      {
        cause: 'open',
        at: [crystal.designator],
        mode: null,
        prior: odds.crystal,
        variants: [
          { weight: 0.6, effect: silent(false) },
          { weight: 0.4, effect: silent(true) },
        ],
      },
    ];
  });
}
