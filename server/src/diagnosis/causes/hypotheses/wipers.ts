import type { Bench } from '../bench';
import { odds } from '../priors';
import type { Hypothesis } from '../types';

/** Wipers of potentiometers, by the pins of each gang. */
const gangs = [
  ['1–2', '2–3', '2'],
  ['4–5', '5–6', '5'],
] as const;

/** Potentiometers whose wiper touches nothing: worn, dirty, or lifted. */
export function wiperHypotheses({ copper, elements }: Bench): Hypothesis[] {
  return [...copper.parts.values()].flatMap((part): Hypothesis[] => {
    if (!part.fitted || part.kind !== 'potentiometer') return [];
    return gangs.flatMap(([upper, lower, wiper]): Hypothesis[] => {
      const halves = [upper, lower]
        .map((pins) => `${part.designator} ${pins}`)
        .filter((name) => elements.some((element) => element.name === name));
      if (halves.length === 0) return [];
      const effect = { changes: halves.map((element) => ({ element, part, becomes: 'open' as const })) };
      return [
        { cause: 'open', at: [part.point(wiper)], mode: null, prior: odds.wiper, variants: [{ weight: 1, effect }] },
      ];
    });
  });
}
