import { tell } from '../../diagnosis/identify/identify';
import { joinsBehind, standing, sure } from '../../diagnosis/identify/standing';
import { percent, pinList } from '../../diagnosis/identify/words';
import type { Check, Draft } from '../check';
import { judged } from './identified';

/** From here on contradicted pins are no longer slips: common practice, no source. */
const many = 3;

export const pinoutUnproven: Check = {
  name: 'pinout-unproven',
  reads: 'figures',
  page: {
    meaning:
      'Copper or the marking speaks against the stated data sheet, and it is less than 90 % likely, but no other one is proven either.',
    causes:
      'A chip that none of the pinouts in reach describes; a wrong join; pins counted another way; a house marking.',
    next: 'The pin named: it is the one whose probe is expected to tell most.',
    source:
      'Bayes’ rule over pinouts, ways of counting and “none of these”; likelihoods and the 90 % are common practice, no source.',
    blind:
      'Few pins seen is not doubt: something must speak against. Never for pins written in the part itself. Where another pinout, numbering or marking fits, that is told instead.',
  },
  run(snapshot, told) {
    const sharper = new Set(
      told
        .filter((finding) => ['pinout-doubtful', 'pin-numbering-turned', 'marking-mismatch'].includes(finding.check))
        .flatMap((finding) => finding.place.span.start),
    );
    return judged(snapshot).flatMap(({ weighed, part, standing: stands, span }): Draft[] => {
      const { probability, contradict, mismarked, own } = stands;
      if (sharper.has(span.start) || (part.markingSpan && sharper.has(part.markingSpan.start))) return [];
      if (probability >= sure) return [];
      // A pin or two that have been told of at their place are a slip there; more than that is doubt about the data sheet.
      const untold = contradict.filter((pin) => !told.some((finding) => finding.at.includes(part.point(pin))));
      if (untold.length === 0 && contradict.length < many && !mismarked) return [];
      const against = [
        ...(contradict.length > 0 ? [`${contradict.length > 1 ? 'pins' : 'pin'} ${pinList(contradict)}`] : []),
        ...(mismarked ? [`the marking ${part.marking}`] : []),
      ];
      const next = tell(weighed).next[0];
      return [
        {
          span,
          message: `${own.name} is ${percent(probability)} likely: ${against.join(' and ')} ${against.length > 1 || contradict.length > 1 ? 'speak' : 'speaks'} against it.${next ? ` ${next.why}` : ''}`,
          at: contradict.map((pin) => part.point(pin)),
          ...(mismarked && { evidence: [`marking ${part.marking}`] }),
          joins: joinsBehind(weighed, contradict, (without) => (standing(without)?.probability ?? 1) < sure),
          figures: { probability },
        },
      ];
    });
  },
};
