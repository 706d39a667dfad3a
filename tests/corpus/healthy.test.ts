import { describe, expect, it } from 'vitest';
import { findingsOf, plainFindingsOf } from './found';
import { groundsAndFeeds } from './grounds-and-feeds';
import { healthy } from './healthy';
import { measuredBoards } from './measured-boards';
import { moreSheets } from './more-sheets';

/** A board as it stands while it is still being probed: not complete, and only those of its joins that `keep` names. */
const halfOf = (text: string, keep: (index: number) => boolean): string => {
  let index = 0;
  return text
    .replace(/^complete: true\n/m, '')
    .split('\n')
    .filter((line) => !/^ {4}- /.test(line) || keep(index++))
    .join('\n');
};
const joinsIn = (text: string) => text.split('\n').filter((line) => /^ {4}- /.test(line)).length;

const more = Object.fromEntries(Object.entries(moreSheets).map(([name, text]) => [`${name}.pinout.yaml`, text]));
const measured = Object.fromEntries(
  Object.entries(measuredBoards).map(([name, { text }]) => [`${name}, to be recorded`, text]),
);
const boards = Object.entries({ ...healthy, ...groundsAndFeeds, ...measured });

describe('healthy boards', () => {
  it.each(boards)('%s: nothing is found', async (_, text) => {
    expect(await findingsOf(text, more)).toEqual([]);
  });

  it.each(boards)('%s, half finished: nothing is found', async (_, text) => {
    const count = joinsIn(text);
    const halves: [string, (index: number) => boolean][] = [
      ['every second join', (index) => index % 2 === 0],
      ['the other joins', (index) => index % 2 === 1],
      ['every third join', (index) => index % 3 === 0],
      ...Array.from({ length: count + 1 }, (_, upTo): [string, (index: number) => boolean] => [
        `the first ${upTo} joins`,
        (index) => index < upTo,
      ]),
      ...Array.from({ length: count }, (_, but): [string, (index: number) => boolean] => [
        `all but join ${but + 1}`,
        (index) => index !== but,
      ]),
    ];
    const told: string[] = [];
    for (const [what, keep] of halves)
      for (const finding of await plainFindingsOf(halfOf(text, keep), more)) told.push(`${what}: ${finding}`);
    expect(told).toEqual([]);
  });
});
