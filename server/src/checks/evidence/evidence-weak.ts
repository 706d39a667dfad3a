import { joinText } from '../../board/copper';
import { elements } from '../../board/elements';
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
      if (
        nodes[0] !== nodes[1] ||
        part.kind !== 'resistor' ||
        !part.value ||
        part.value.value <= 0 ||
        part.value.value >= beepOhms
      )
        continue;
      const beep = copper
        .proof(part.point(pins[0]), part.point(pins[1]))
        ?.joins.find((join) => join.evidence === 'buzzed');
      if (!beep) continue;
      drafts.push({
        span: beep.span,
        message: `This beep went across ${part.designator} (${formatQuantity(part.value.value, 'Ω')}): a meter beeps through it, so it proves no copper.`,
        at: [part.point(pins[0]), part.point(pins[1])],
        evidence: [joinText(beep)],
      });
    }
    return drafts;
  },
};
