import { fittingMarking } from '../../diagnosis/identify/marking';
import { perPinout } from '../../diagnosis/identify/posterior';
import { percent } from '../../diagnosis/identify/words';
import type { Check, Draft } from '../check';
import { judged } from './identified';

export const markingMismatch: Check = {
  name: 'marking-mismatch',
  reads: 'figures',
  page: {
    meaning:
      'What is printed on the chip fits another data sheet in reach, and none of the markings its stated one lists.',
    causes: 'A sibling part; a relabelled chip; a house marking nobody has written down yet; a misread letter.',
    next: 'Read the marking again, obliquely lit; then buzz a pin that the two data sheets tell apart.',
    source:
      'The `markings` of the pinouts; `?` is any one character, `*` any run, case ignored. The whole marking may match, or one of its words.',
    blind:
      'Silent where the stated pinout lists no markings, or no other one in reach fits. Where copper too speaks for the other, `pinout-doubtful` says it.',
  },
  run(snapshot, told) {
    const doubted = new Set(
      told.filter((finding) => finding.check === 'pinout-doubtful').map((finding) => finding.place.span.start),
    );
    return judged(snapshot).flatMap(({ weighed, part, standing, span }): Draft[] => {
      const { marking, markingSpan } = part;
      if (!standing.mismarked || marking === undefined || doubted.has(span.start)) return [];
      const fitting = [...snapshot.board.pinouts.values()].filter(
        (pinout) => pinout !== standing.own && fittingMarking(pinout, marking) !== undefined,
      );
      const other = fitting[0];
      if (!other) return [];
      const names = fitting.slice(0, 3).map((pinout) => pinout.name);
      const share = perPinout(weighed.found).get(other);
      const copper =
        weighed.seen.length === 0 || share === undefined
          ? ''
          : ` All told, ${standing.own.name} is ${percent(standing.probability)} likely, ${other.name} ${percent(share)}.`;
      return [
        {
          span: markingSpan ?? span,
          message: `${marking} is a marking of ${names.join(', ')}, and none that ${standing.own.name} lists.${copper}`,
          at: [part.designator],
          evidence: [`marking ${marking}`],
          related: [{ file: other.file, span: other.span, message: 'the one whose marking fits' }],
        },
      ];
    });
  },
};
