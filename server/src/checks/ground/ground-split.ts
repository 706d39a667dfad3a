import type { Copper, CopperNode, Join } from '../../board/copper';
import { maybeSameGround } from '../../board/grounds';
import { joinsAlong, outputs, pathsFrom, pathText } from '../../board/paths';
import { isGround, pinText } from '../../board/roles';
import type { Check, Draft } from '../check';
import { commonOf, shownApart } from './common';

export const groundSplit: Check = {
  name: 'ground-split',
  reads: 'copper',
  page: {
    meaning:
      'The ground an output’s current comes back to and the ground of its connector are two, and nothing joins them: the signal has no way back but by what lies across them by chance.',
    causes:
      'A strap, ferrite or 0 Ω that is missing, open or not yet listed; a cracked sleeve contact; a board meant to be joined through its case.',
    next: 'Measure ohms between the two grounds, board unpowered.',
    source:
      'Grounds are one through copper, 0 Ω, ferrite, inductor, fuse or a resistor up to 10 Ω: common practice, no source.',
    blind:
      'Needs `complete`, an `apart`, or a reading that shows them apart; otherwise it says nothing. A resistor of unknown value or a switch may be the strap.',
  },
  run(snapshot) {
    const { board } = snapshot;
    const copper = board.at();
    const drafts: Draft[] = [];
    const told = new Set<string>();
    for (const { pin, node } of outputs(copper)) {
      const returnPin = pin.spec?.returnPin;
      const back = returnPin === undefined ? undefined : copper.nodeOf(pin.part, returnPin);
      if (!back || !isGround(back)) continue;
      for (const path of pathsFrom(copper, pin, node)) {
        const common = path.contact && commonOf(copper, path.contact.part);
        if (!common || !isGround(common.node) || maybeSameGround(copper, back, common.node)) continue;
        const key = `${back.id} ${common.node.id}`;
        if (told.has(key)) continue;
        const proof = shownApart(snapshot, copper, back, common.node);
        if (proof === undefined) continue;
        told.add(key);
        const at = board.parsed?.value?.traces?.span ?? { start: 0, end: 0 };
        const reach = copper.joins.find((join) => join.points.some((point) => point.ref.name === common.name));
        drafts.push({
          span: reach?.span ?? common.node.nets[0]?.keySpan ?? at,
          message: `${pinText(pin)} returns to ${back.name}, but ${common.name} is on ${common.node.name}, and nothing joins the two grounds (${proof}).`,
          at: [pin.part.point(returnPin!), common.name],
          evidence: [pathText(path), proof],
          joins: [
            ...joinsAlong(copper, path),
            ...tied(copper, common.name, common.node),
            ...tied(copper, pin.part.point(returnPin!), back),
          ],
        });
      }
    }
    return drafts;
  },
};

/** The joins that put a point on its net, where it has one. */
function tied(copper: Copper, point: string, node: CopperNode): readonly Join[] {
  const net = node.nets[0]?.name;
  return net === undefined ? [] : (copper.proof(point, net)?.joins ?? []);
}
