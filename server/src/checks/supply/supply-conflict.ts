import { pinText, roleOf } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
import { givenBy } from './sightings';

/** How far from its nominal an output may be stated elsewhere: common practice, no source. */
const slack = 0.05;

const about = ({ min, max }: { readonly min: number; readonly max: number }) => ({
  min: min - slack * Math.abs(min),
  max: max + slack * Math.abs(max),
});

interface Claim {
  readonly name: string;
  readonly text: string;
  readonly min: number;
  readonly max: number;
  /** As stated, where the range is wider than that. */
  readonly stated?: { readonly min: number; readonly max: number };
}

export const supplyConflict: Check = {
  name: 'supply-conflict',
  reads: 'copper',
  page: {
    meaning: 'What is stated about one net cannot all be true: there is no voltage that suits everything on it.',
    causes:
      'Two supplies joined in the description that are apart on the board; a pinout of a sibling part; a misread data sheet.',
    next: 'Buzz the pins against each other again; measure the voltage.',
    source:
      'The ranges in the pinouts and under `nets`; what a regulator gives counts with 5 % either way: common practice, no source.',
    blind:
      'Pins without a range take no part. Where one net’s nominal or a reading is outside a pin’s range, `supply-out-of-range` speaks instead.',
  },
  run({ board }, told) {
    const copper = board.at();
    return copper.nodes.flatMap((node): Draft[] => {
      // Volts that are still being typed may say otherwise.
      if (node.nets.some((net) => net.voltsBroken)) return [];
      if (
        told.some(
          (finding) =>
            /^supply-(out-of-range|short)$/.test(finding.check) &&
            finding.at.some((point) => node.points.includes(point)),
        )
      )
        return [];
      const claims: Claim[] = [
        ...node.nets.flatMap((net) => (net.volts ? [{ name: net.name, text: `net ${net.name}`, ...net.volts }] : [])),
        ...node.pins.flatMap((pin) =>
          pin.part.fitted && roleOf(pin, node) === 'supply' && pin.spec?.volts?.ends
            ? [{ name: pin.name, text: pinText(pin), ...pin.spec.volts }]
            : [],
        ),
        ...node.pins.flatMap((pin) => {
          const given = pin.part.fitted ? givenBy(pin, node) : undefined;
          return given ? [{ name: pin.name, text: pinText(pin), ...about(given), stated: given }] : [];
        }),
      ];
      for (const [index, a] of claims.entries())
        for (const b of claims.slice(index + 1)) {
          if (a.min <= b.max + 1e-9 && b.min <= a.max + 1e-9) continue;
          const joins = copper.proof(a.name, b.name)?.joins ?? [];
          const volts = (claim: Claim) => {
            const { min, max } = claim.stated ?? claim;
            return min === max
              ? formatQuantity(min, 'V')
              : `${formatQuantity(min, 'V')} to ${formatQuantity(max, 'V')}`;
          };
          return [
            {
              span: joins[0]?.span ?? node.nets[0]?.keySpan ?? { start: 0, end: 0 },
              message: `${a.text} (${volts(a)}) and ${b.text} (${volts(b)}) are one net, and no voltage suits both.`,
              at: [a.name, b.name],
              figures: { firstMin: a.min, firstMax: a.max, secondMin: b.min, secondMax: b.max },
              joins,
            },
          ];
        }
      return [];
    });
  },
};
