import { sameGround } from '../../board/grounds';
import { otherLeg, outputs } from '../../board/paths';
import { isGround, pinText } from '../../board/roles';
import type { Check, Draft } from '../check';
import { groundName } from '../supply/names';

export const bridgeGrounded: Check = {
  name: 'bridge-grounded',
  reads: 'copper',
  page: {
    meaning: 'A leg of a bridge is joined to ground: the amplifier drives that leg into a short on every half wave.',
    causes:
      'The two minus terminals of two loudspeakers joined; a jack whose sleeve is wired as ground; a scope clip described as copper; the wrong pin counted.',
    next: 'Board unpowered: ohms from each leg to ground. Powered, look with two probes on the legs and both clips on the board’s ground, or with a differential probe.',
    source: 'Neither terminal of a bridge is ground: makers’ data sheets for bridged amplifiers.',
    blind: 'Counts copper and straps up to 10 Ω. A loudspeaker between a leg and ground is not seen by this check.',
  },
  run({ board }) {
    const copper = board.at();
    return outputs(copper).flatMap(({ pin, node }): Draft[] => {
      if (otherLeg(pin) === undefined) return [];
      const ground = isGround(node)
        ? node
        : copper.nodes.find((other) => isGround(other) && sameGround(copper, node, other));
      if (!ground) return [];
      const name = groundName(ground) ?? ground.name;
      const joins = ground === node ? (copper.proof(pin.name, name)?.joins ?? []) : [];
      const join =
        joins[0] ?? copper.joins.find((candidate) => candidate.points.some((point) => point.ref.name === pin.name));
      return [
        {
          span: join?.span ?? pin.part.declared?.keySpan ?? { start: 0, end: 0 },
          message: `${pinText(pin)} is a leg of a bridge, and ${ground === node ? 'copper' : 'a strap'} joins it to ${name}, a ground. Do not power it like this.`,
          at: [pin.name, name],
          joins,
        },
      ];
    });
  },
};
