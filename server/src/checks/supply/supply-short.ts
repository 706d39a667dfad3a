import { groundSign, isSupply, pinText, supplyPins } from '../../board/roles';
import type { Check, Draft } from '../check';
import { groundName, supplyName } from './names';

export const supplyShort: Check = {
  name: 'supply-short',
  reads: 'copper',
  page: {
    meaning: 'A supply and a ground are one piece of copper: powered, this draws all the current its source can give.',
    causes:
      'A beep through a coil, a low resistor or a charged capacitor taken for copper; a slip while writing; a real solder bridge or a shorted plane.',
    next: 'Leave the board unpowered and measure ohms between the two, both ways round: no more than the leads show when they touch is copper; a few ohms more may be a load.',
    source: 'Common practice, no source.',
    blind:
      'Only copper counts, never low ohms alone. A supply on a ground net by design (a negative ground vehicle) is not known as such.',
  },
  run({ board }) {
    const copper = board.at();
    return copper.nodes.flatMap((node): Draft[] => {
      const sign = groundSign(node);
      if (sign !== 'net' && sign !== 'contact') return [];
      const pins = supplyPins(node);
      if (pins.length === 0 && !isSupply(node)) return [];
      const supply = pins[0]?.name ?? supplyName(node);
      const ground = groundName(node);
      if (supply === undefined || ground === undefined || supply === ground) return [];
      const joins = copper.proof(supply, ground)?.joins ?? [];
      const weakest = [...joins].reverse().find((join) => join.evidence === 'assumed') ?? joins[joins.length - 1];
      const what = pins[0] ? `${pinText(pins[0])}, a supply pin,` : `${supply}, a supply,`;
      return [
        {
          span: weakest?.span ?? node.nets[0]?.keySpan ?? { start: 0, end: 0 },
          message: `${what} and ${ground}, a ground, are one piece of copper. Do not power it before this is cleared.`,
          at: [supply, ground],
          joins,
        },
      ];
    });
  },
};
