import { weighed } from '../checks/chips/identified';
import { type PartIdentity, tell } from '../diagnosis/identify/identify';
import { bits, numberingWords, percent, pinList, tieText } from '../diagnosis/identify/words';
import { jsonNumber } from './json';
import { oneBoard } from './one-board';
import { readOptions, type Surroundings, type Verb } from './verb';
import { toColumns } from './wrap';

export const identify: Verb = {
  name: 'identify',
  summary: 'which pinout fits the copper, and which way round its numbering is',
  help: `buzzout identify BOARD [--part U1] [--json]

Holds every pinout in reach (or a part's candidates), in every way its pins may have been counted, against what the
board shows of each pin: which is likeliest, which pins agree and which speak against it, and which to buzz next.

  --part   only this part
  --json   candidates and next pins as JSON

Exit status: 0, or 2 for bad usage or an unreadable file.`,
  async run(args, around) {
    const options = readOptions(args, ['--part'], ['--json']);
    const analysis = await oneBoard(options, around);
    if (!analysis) return 2;
    const wanted = options.values.get('--part');
    if (wanted !== undefined && !analysis.board.at().parts.has(wanted)) {
      around.err(`buzzout: there is no part ${wanted} on this board\n`);
      return 2;
    }
    const parts = weighed(analysis.snapshot)
      .filter(({ part }) => wanted === undefined || part.designator === wanted)
      .map(tell);
    around.out(
      options.flags.has('--json') ? `${JSON.stringify({ parts }, jsonNumber, 2)}\n` : text(parts, wanted, around),
    );
    return 0;
  },
};

function text(parts: readonly PartIdentity[], wanted: string | undefined, around: Surroundings): string {
  const lines = parts.flatMap(tellPart);
  if (parts.length === 0)
    lines.push(
      wanted === undefined
        ? 'No chip on this board can be held against a pinout: none in reach has as many pins, its pins are written in the board, or nothing of it has been seen.'
        : `No pinout in reach could be ${wanted}: it is no chip, its pins are written in the board, or none has as many pins.`,
    );
  return toColumns(lines, around);
}

/** A chip as a colleague would tell it: what it is, what it might be else, what to look at next. */
function tellPart(identity: PartIdentity): string[] {
  const { part, candidates, none, next, seen } = identity;
  const looked = seen === 0 ? 'nothing seen of its pins yet' : `${seen} ${seen === 1 ? 'pin' : 'pins'} seen`;
  const tie = tieText(identity);
  const shown = candidates.filter((one, at) => at === 0 || one.probability >= 0.005).slice(0, 4);
  const noneLine = `  ${percent(none)} none of these.`;
  const noneFirst = none > (candidates[0]?.probability ?? 0);
  return [
    `${part}, ${looked}:`,
    ...(noneFirst ? [noneLine] : []),
    ...shown.map(
      ({ pinout, numbering, probability, agree, contradict, open }) =>
        `  ${percent(probability)} ${pinout}, ${numberingWords[numbering]}. Agree: ${pinList(agree)}. Against: ${pinList(contradict)}. Open: ${pinList(open)}.`,
    ),
    ...(none >= 0.005 && !noneFirst ? [noneLine] : []),
    ...(tie ? [`  ${tie}`] : []),
    next[0] ? `  Next: ${next[0].why} (${bits(next[0].gain)})` : '  Next: no single pin would tell more.',
  ];
}
