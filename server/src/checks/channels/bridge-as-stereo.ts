import { joinsAlong, otherLeg, outputs, pathsFrom, pathText } from '../../board/paths';
import { pinText } from '../../board/roles';
import type { Check, Draft } from '../check';

export const bridgeAsStereo: Check = {
  name: 'bridge-as-stereo',
  reads: 'copper',
  page: {
    meaning:
      'The two legs of one bridge feed the left and the right contact: both carry one signal in opposite phase, and it cancels wherever the sides are added.',
    causes:
      'A mono or differential part on a stereo jack; a part whose output mode is set to differential; a pinout of a sibling part.',
    next: 'Play unlike noise and record both contacts: a correlation of −1 is one differential pair (or an open common), 0 is two sides.',
    source: 'Common practice, no source.',
    blind:
      'A bridge is known by `return` pins that name each other, by a section with two outputs, or by a stated mode that opposes two outputs. Balanced contacts (hot, cold) are where legs belong.',
  },
  run({ board }) {
    const copper = board.at();
    const found = outputs(copper);
    const drafts: Draft[] = [];
    const done = new Set<string>();
    for (const { pin, node } of found) {
      const leg = otherLeg(pin);
      const other =
        leg === undefined
          ? undefined
          : found.find((candidate) => candidate.pin.part === pin.part && candidate.pin.pin === leg);
      if (!other || done.has(other.pin.name)) continue;
      done.add(pin.name);
      const own = pathsFrom(copper, pin, node);
      const its = pathsFrom(copper, other.pin, other.node);
      for (const [a, b] of [
        ['left', 'right'],
        ['right', 'left'],
      ] as const) {
        const first = own.find((path) => path.carries === a);
        const second = its.find((path) => path.carries === b);
        if (!first || !second || first.contact?.part !== second.contact?.part) continue;
        const joins = [...joinsAlong(copper, first), ...joinsAlong(copper, second)];
        const mode = pin.part.mode === undefined ? '' : ` in mode ${pin.part.mode.name}`;
        drafts.push({
          span: first.contact?.part.declared?.keySpan ?? joins[joins.length - 1]?.span ?? { start: 0, end: 0 },
          message: `${pinText(pin)} and ${pinText(other.pin)} are the two legs of one bridge${mode}, yet they feed ${a} and ${b}: ${pathText(first)}, ${pathText(second)}. Both sides carry one signal, opposed.`,
          at: [
            pin.name,
            other.pin.name,
            first.contact?.name ?? first.end.name,
            second.contact?.name ?? second.end.name,
          ],
          joins,
        });
        break;
      }
    }
    return drafts;
  },
};
