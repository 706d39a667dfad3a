import { describe, expect, it } from 'vitest';
import { partFigures } from '../../server/src/circuit/from-board/part-figures';
import { nodeFigures } from '../../server/src/circuit/from-board/place-figures';
import { analyseBoard } from '../harness/memory';
import { uniform } from '../signal/make';
import { groundsAndFeeds } from './grounds-and-feeds';
import { healthy } from './healthy';
import { sheets } from './sheets';

const pinouts = Object.fromEntries(Object.entries(sheets).map(([name, text]) => [`${name}.pinout.yaml`, text]));
const boards = Object.values({ ...healthy, ...groundsAndFeeds });

/** A healthy board with a few joins and values exchanged, bridged, left out or made nothing, by a seed. */
function mutated(seed: number): string {
  const draw = uniform(seed);
  const below = (count: number) => Math.floor(draw() * count);
  let lines = boards[below(boards.length)]!.split('\n');
  for (let round = 0; round <= below(3); round++) {
    const where = (pattern: RegExp) => lines.flatMap((line, index) => (pattern.test(line) ? [index] : []));
    const [joins, parts] = [where(/^ {4}- /), where(/^ {2}[A-Z]+\d+: /)];
    const [one, other, part] = [joins, joins, parts].map((list) => list[below(list.length)]!);
    const points = (line: number) => lines[line]!.trim().slice(2).split(' ');
    const ways: (() => void)[] = [
      () => {
        const [a, b] = [points(one!), points(other!)];
        const [i, j] = [below(a.length), below(b.length)];
        [a[i], b[j]] = [b[j]!, a[i]!];
        lines[one!] = `    - ${a.join(' ')}`;
        lines[other!] = `    - ${b.join(' ')}`;
      },
      () => {
        lines[part!] = lines[part!]!.replace(/:.*/, ':');
      },
      () => {
        lines[part!] = lines[part!]!.replace(/:.*/, ': 0');
      },
      () => {
        lines[one!] += ` ${points(other!)[0]}`;
      },
      () => {
        lines = lines.filter((_, index) => index !== one);
      },
    ];
    ways[below(ways.length)]!();
  }
  return lines.join('\n');
}

const nonsense = /NaN|undefined|Infinity|\[object/;

describe('boards with a few things wrong', () => {
  it.each(Array.from({ length: 60 }, (_, seed) => seed))('seed %d: every check and figure holds', async (seed) => {
    const { findings, board } = await analyseBoard(mutated(seed), pinouts);
    const copper = board.at();
    const figures = [
      ...copper.nodes.flatMap((node) => nodeFigures(copper, node)),
      ...[...copper.parts.values()].flatMap((part) => partFigures(copper, part)),
    ];
    expect(findings.map(({ message }) => message).filter((text) => nonsense.test(text))).toEqual([]);
    expect(figures.map(({ text, over }) => `${text} ${over}`).filter((text) => nonsense.test(text))).toEqual([]);
    expect(figures.flatMap(({ basis }) => basis).filter(({ what }) => nonsense.test(what))).toEqual([]);
  });
});
