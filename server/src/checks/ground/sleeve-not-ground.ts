import { styles } from '../../board/connectors';
import { maybeSameGround } from '../../board/grounds';
import { joinsAlong, outputs, pathsFrom, pathText } from '../../board/paths';
import { isGround, pinText, roleOf } from '../../board/roles';
import type { Check, Draft } from '../check';
import { commonOf, shownApart } from './common';

/** Ohms from which what is plugged in is gear rather than headphones: common practice, no source. */
const gearOhms = 600;

export const sleeveNotGround: Check = {
  name: 'sleeve-not-ground',
  reads: 'copper',
  page: {
    meaning:
      'The common contact of a connector does not come back to the return of the outputs that feed it; or it is a driven common, and what is plugged in may be earthed.',
    causes:
      'A broken or missing trace to the sleeve; ring and sleeve exchanged; the microphone contact of a four-pole jack taken for the common; a capless headphone output used as a line output.',
    next: 'Board unpowered: ohms from the common contact to the output’s return pin. Driven common: DC from the sleeve to the board’s ground, and what else earths the gear.',
    source:
      'Makers’ notes on capless outputs: the sleeve carries half the supply and must be kept from chassis and other equipment.',
    blind:
      'That it does not reach needs `complete`, an `apart` or a reading. Gear is told by a connector that is no jack, or by a load of 600 Ω or more.',
  },
  run(snapshot, told) {
    const { board } = snapshot;
    const copper = board.at();
    const drafts = new Map<string, Draft>();
    const split = told
      .filter((finding) => finding.check === 'ground-split' || finding.check === 'ground-miswired')
      .flatMap((finding) => finding.at);
    const bridged = told.filter((finding) => finding.check === 'bridge-as-stereo').flatMap((finding) => finding.at);
    for (const { pin, node } of outputs(copper)) {
      const returnPin = pin.spec?.returnPin;
      const back = returnPin === undefined ? undefined : copper.nodeOf(pin.part, returnPin);
      const backPin = back?.pins.find((candidate) => candidate.name === pin.part.point(returnPin!));
      if (!back || !backPin || split.includes(backPin.name) || bridged.includes(pin.name)) continue;
      for (const path of pathsFrom(copper, pin, node)) {
        const contact = path.contact;
        if (!contact || path.carries === 'hot' || path.carries === 'cold') continue;
        const common = commonOf(copper, contact.part);
        if (!common || split.includes(common.name)) continue;
        const key = `${pin.part.designator} ${common.name}`;
        if (drafts.has(key)) continue;
        const reach = copper.joins.find((join) => join.points.some((point) => point.ref.name === common.name));
        const span = reach?.span ?? contact.part.declared?.keySpan ?? { start: 0, end: 0 };
        if (!maybeSameGround(copper, back, common.node)) {
          const proof = shownApart(snapshot, copper, back, common.node);
          if (proof === undefined) continue;
          drafts.set(key, {
            span,
            message: `${common.name} does not come back to ${pinText(backPin)}, the return of ${pinText(pin)} (${proof}).`,
            at: [common.name, backPin.name],
            evidence: [pathText(path), proof],
            joins: [...joinsAlong(copper, path), ...(reach ? [reach] : [])],
          });
          continue;
        }
        const role = roleOf(backPin, back);
        const driven = role !== 'ground' && role !== undefined && !isGround(back);
        const gear = !(contact.part.style && styles[contact.part.style]?.jack) || (contact.part.load ?? 0) >= gearOhms;
        if (!driven || !gear) continue;
        drafts.set(key, {
          span,
          message: `${common.name} is a driven common (${pinText(backPin)}), and what is plugged in may be earthed: then its driver is shorted through the cable.`,
          at: [common.name, backPin.name],
          evidence: [pathText(path)],
          joins: [...joinsAlong(copper, path), ...(copper.proof(common.name, backPin.name)?.joins ?? [])],
        });
      }
    }
    return [...drafts.values()];
  },
};
