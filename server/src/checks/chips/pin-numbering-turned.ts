import { candidate } from '../../diagnosis/identify/identify';
import { renumber } from '../../diagnosis/identify/renumber';
import { joinsBehind, standing } from '../../diagnosis/identify/standing';
import { listed, numberingWords, percent, pinList } from '../../diagnosis/identify/words';
import type { Fix } from '../../text/finding';
import type { Check, Draft } from '../check';
import { judged } from './identified';

export const pinNumberingTurned: Check = {
  name: 'pin-numbering-turned',
  reads: 'figures',
  page: {
    meaning:
      'Copper fits the stated data sheet, but with the pins counted from another corner, clockwise, or seen from below. Every pin written down is then another one.',
    causes:
      'Pin 1 taken at the wrong corner; a dot of the mould taken for the mark; counted clockwise, or on a photograph of the underside; or another chip with the same pins elsewhere.',
    next: 'Find pin 1 again: notch, dot, bevelled edge; counted counter-clockwise seen from above. Buzz one pin that the two countings tell apart.',
    source:
      'Bayes’ rule over pinouts and ways of counting; likelihoods and the 90 % from which it speaks are common practice, no source.',
    blind:
      'Needs a stated pinout and enough pins that are not alike under the turn. A ball grid is only tried turned by half and mirrored. The fix rewrites points of this board; notes and captions stay as they are.',
  },
  run(snapshot) {
    return judged(snapshot).flatMap(({ weighed, part, standing: stands, span }): Draft[] => {
      const { turned, own, contradict } = stands;
      if (!turned) return [];
      const told = candidate(turned.best, weighed.seen);
      const first = weighed.seen
        .map((pin) => pin.pin)
        .find((pin) => told.map[pin] !== undefined && told.map[pin] !== pin);
      const example = first === undefined ? '' : ` Written pin ${first} is pin ${told.map[first]} of the data sheet.`;
      const also =
        turned.also.length > 0 ? ` Counted so, ${listed(turned.also.map((one) => one.name))} would fit too.` : '';
      const against = contradict.length > 0 ? ` As marked, ${pinsSpeak(contradict)} against it.` : '';
      const edits = turned.certain ? renumber(snapshot.board, part, told.map) : undefined;
      const fixes: Fix[] =
        edits && edits.length > 0
          ? [
              {
                title: `Count the pins of ${part.designator} as ${own.name} does`,
                edits: edits.map((edit) => ({ ...edit, file: snapshot.board.file })),
                safe: false,
              },
            ]
          : [];
      return [
        {
          span,
          message: `${own.name} fits the copper with its pins ${numberingWords[turned.numbering]} (${percent(turned.probability)}).${example}${also}${against}`,
          at: contradict.map((pin) => part.point(pin)),
          joins: joinsBehind(weighed, contradict, (without) => standing(without)?.turned !== undefined),
          figures: { probability: turned.probability, numbering: turned.numbering },
          fixes,
        },
      ];
    });
  },
};

const pinsSpeak = (pins: readonly string[]): string =>
  pins.length === 1 ? `pin ${pins[0]} speaks` : `pins ${pinList(pins)} speak`;
