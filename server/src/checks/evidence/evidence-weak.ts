import { type Join, joinText } from '../../board/copper';
import { elements } from '../../board/elements';
import type { Part } from '../../board/part';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';

/** Ohms below which a meter's continuity range may beep through a part: common practice, no source. */
const beepOhms = 100;

export const evidenceWeak: Check = {
  name: 'evidence-weak',
  reads: 'figures',
  page: {
    meaning:
      'Findings rest on joins that are still a guess; or a beep went across a part that lets a meter beep by itself.',
    causes: 'Copper not yet followed; a continuity range that beeps up to a hundred ohms.',
    next: 'Buzz the joins named, board unpowered: one beep may prove or clear several findings.',
    source: 'Continuity ranges beep somewhere between 10 and 100 Ω: common practice, no source.',
    blind: 'A beep through a part nobody has listed cannot be seen.',
  },
  run({ board }, told) {
    const copper = board.at();
    const drafts: Draft[] = [];
    const assumed = copper.joins.filter((join) => join.evidence === 'assumed');
    const resting = told.filter((finding) => assumed.some((join) => finding.evidence.includes(joinText(join))));
    const guesses = assumed.filter((join) => resting.some((finding) => finding.evidence.includes(joinText(join))));
    const [first, ...others] = guesses;
    if (first) {
      const count = (number: number, word: string) =>
        `${number === 1 ? 'one' : number} ${word}${number === 1 ? '' : 's'}`;
      const names = [...new Set(guesses.map((join) => join.points.map((point) => point.text).join(' ')))];
      drafts.push({
        span: first.span,
        message:
          `${count(resting.length, 'finding')} rest${resting.length === 1 ? 's' : ''} on ${count(names.length, 'guess').replace('guesss', 'guesses')}: ${names.join('; ')} (${[...new Set(resting.map((finding) => finding.check))].join(', ')}). Buzz ${names.length === 1 ? 'it' : 'them'} first.`.replace(
            /^one/,
            'One',
          ),
        evidence: guesses.map(joinText),
        related: others.map((join) => ({ span: join.span, message: 'a guess too' })),
      });
    }
    for (const { part, pins, nodes } of elements(copper)) {
      const ohms = statedOhms(part);
      if (nodes[0] !== nodes[1] || ohms === undefined || ohms <= 0 || ohms >= beepOhms) continue;
      const ends = pins.map((pin) => part.point(pin));
      const beep = beepAcross(copper.proof(ends[0]!, ends[1]!)?.joins ?? [], ends);
      if (!beep) continue;
      drafts.push({
        span: beep.span,
        message: `This beep went across ${part.designator} (${formatQuantity(ohms, 'Ω')}): a meter beeps through it, so it proves no copper.`,
        at: ends,
        evidence: [joinText(beep)],
      });
    }
    return drafts;
  },
};

/** Ohms of a part that a meter's current flows through, where they are stated. */
const statedOhms = (part: Part): number | undefined =>
  part.kind === 'resistor' || part.kind === 'loudspeaker' ? part.value?.value : part.dcr;

/** The beep in question among the joins that make a part's ends one: between the ends, else away from both, else any. */
function beepAcross(joins: readonly Join[], ends: readonly string[]): Join | undefined {
  const beeps = joins.filter((join) => join.evidence === 'buzzed');
  const named = (join: Join) => ends.filter((end) => join.points.some((point) => point.ref.name === end)).length;
  return beeps.find((join) => named(join) === 2) ?? beeps.find((join) => named(join) === 0) ?? beeps[0];
}
