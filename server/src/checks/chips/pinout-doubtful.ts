import { candidate } from '../../diagnosis/identify/identify';
import { renumber } from '../../diagnosis/identify/renumber';
import { joinsBehind, standing } from '../../diagnosis/identify/standing';
import { numberingWords, percent, pinList } from '../../diagnosis/identify/words';
import type { Fix } from '../../text/finding';
import type { Check, Draft, Snapshot } from '../check';
import { type Judged, judged } from './identified';

export const pinoutDoubtful: Check = {
  name: 'pinout-doubtful',
  reads: 'figures',
  page: {
    meaning: 'Copper fits another data sheet in reach, and the stated one not nearly as well.',
    causes:
      'A sibling part in the same package; a relabelled chip; a data sheet of another revision; joins that are wrong.',
    next: 'Buzz a pin that the two data sheets tell apart: hover on the chip, or `buzzout identify`, names it.',
    source:
      'Bayes’ rule over pinouts and ways of counting; likelihoods and the 90 % from which it speaks are common practice, no source.',
    blind:
      'It knows only the pinouts in reach, and where a part lists `candidates` only those. A marking alone is told by `marking-mismatch`. Modes of the stated pinout may not exist in the other.',
  },
  run(snapshot) {
    return judged(snapshot).flatMap((one): Draft[] => {
      const { weighed, part, standing: stands, span } = one;
      const { other, own, probability } = stands;
      if (!other) return [];
      const { pinout, counting } = other.best;
      const turned = counting.numbering === 'as-marked' ? '' : `, ${numberingWords[counting.numbering]},`;
      const apart = differing(one);
      const where =
        apart.length > 0
          ? ` ${apart.length > 1 ? 'Pins' : 'Pin'} ${pinList(apart)} tell${apart.length > 1 ? '' : 's'} them apart.`
          : '';
      return [
        {
          span,
          message: `${pinout.name}${turned} fits the copper (${percent(other.probability)}); ${own.name} is ${percent(probability)} likely.${where}`,
          at: apart.map((pin) => part.point(pin)),
          joins: joinsBehind(weighed, apart, (without) => standing(without)?.other?.best.pinout === pinout),
          figures: { probability: other.probability, stated: probability, pinout: pinout.name },
          related: [{ file: pinout.file, span: pinout.span, message: 'the one that fits' }],
          fixes: fixesOf(snapshot, one),
        },
      ];
    });
  },
};

/** Written pins on which copper speaks for the other and not for the stated pinout. */
function differing({ weighed, standing: { other, asMarked } }: Judged): string[] {
  const theirs = new Set(candidate(other!.best, weighed.seen).agree);
  const ours = new Set(candidate(asMarked, weighed.seen).agree);
  return weighed.seen.map((pin) => pin.pin).filter((pin) => theirs.has(pin) && !ours.has(pin));
}

/** Names the other pinout, and writes the part's points by the numbers that it counts. */
function fixesOf({ board }: Snapshot, { weighed, part, span, standing: { other } }: Judged): Fix[] {
  const { pinout } = other!.best;
  const edits = renumber(board, part, candidate(other!.best, weighed.seen).map, true);
  if (!edits) return [];
  return [
    {
      title: `Take ${part.designator} for ${pinout.name}`,
      edits: [{ span, text: pinout.name }, ...edits].map((edit) => ({ ...edit, file: board.file })),
      safe: false,
    },
  ];
}
