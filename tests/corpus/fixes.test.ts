import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../server/src/text/finding';
import { applied, type Contents } from '../checks/applied';
import { outside } from '../harness/outside';
import { uniform } from '../signal/make';
import { faults } from './faults';
import { boards, faulty } from './faulty';
import { pinouts, plainlyFound } from './found';

const file = 'a.board.yaml';

/** A comment of its own at the end of every line. */
const remarked = (text: string): string =>
  text
    .split('\n')
    .map((line, index) => (line.trim() === '' || line.includes('#') ? line : `${line} # remark ${index}`))
    .join('\n');
const remarksIn = (text: string): string[] => text.match(/ # .*$/gm) ?? [];
const named = ({ check, message }: Finding) => `${check}: ${message}`;

/** Applies every fix that is offered; gives how many, and the texts they lead to. */
async function mended(files: Contents, name = file): Promise<string[]> {
  const before = await plainlyFound(files, name);
  const results: string[] = [];
  for (const finding of before)
    for (const fix of finding.fixes) {
      const at = `${named(finding)} → ${fix.title}`;
      const after = applied(files, fix);
      const text = String(after[name]);
      const found = await plainlyFound(after, name);
      const known = before.map(named);
      expect(found.map(named), `${at}: the finding is gone`).not.toContain(named(finding));
      expect(
        found.map(named).filter((one) => !known.includes(one)),
        `${at}: nothing new is found`,
      ).toEqual([]);
      expect(remarksIn(text), `${at}: comments are kept`).toEqual(remarksIn(String(files[name])));
      results.push(text);
    }
  return results;
}

describe('every fix that is offered on the corpus', () => {
  it.each(Object.entries(boards))('%s, which is healthy: none', async (_, text) => {
    expect(await mended({ ...pinouts, [file]: remarked(text) })).toEqual([]);
  });

  it('the faulty boards: the finding is gone, nothing new is found, comments are kept', async () => {
    let count = 0;
    for (const fault of Object.values(faults))
      count += (await mended({ ...pinouts, [file]: remarked(faulty(fault)) })).length;
    expect(count).toBeGreaterThan(2);
  });

  const folder = join(outside.root, 'samples/faults');
  it.each(readdirSync(folder).filter((name) => name.endsWith('.yaml')))('sample %s', async (name) => {
    const sheets = join(outside.root, 'samples/tidemill/sheets');
    const files = Object.fromEntries([
      ...readdirSync(sheets).map((sheet) => [`sheets/${sheet}`, readFileSync(join(sheets, sheet), 'utf8')]),
      ...readdirSync(join(folder, 'captures')).map((take) => [
        `captures/${take}`,
        readFileSync(join(folder, 'captures', take)),
      ]),
      [file, remarked(readFileSync(join(folder, name), 'utf8').replace('../tidemill/', ''))],
    ]);
    await mended(files);
  });
});

/** Slips of a hand at the keyboard, each once at a place a seed chooses; undefined where there is none. */
type Slip = (text: string, draw: () => number) => string | undefined;
const atOneOf =
  (pattern: RegExp, slip: (word: string, draw: () => number) => string): Slip =>
  (text, draw) => {
    const places = [...text.matchAll(pattern)];
    const place = places[Math.floor(draw() * places.length)];
    if (!place) return undefined;
    const at = place.index + place[0].lastIndexOf(place[1]!);
    return text.slice(0, at) + slip(place[1]!, draw) + text.slice(at + place[1]!.length);
  };
const withoutALetter = (word: string, draw: () => number) => {
  const at = 1 + Math.floor(draw() * (word.length - 2));
  return word.slice(0, at) + word.slice(at + 1);
};
const turned = (word: string, draw: () => number) => {
  const at = Math.floor(draw() * (word.length - 1));
  return word.slice(0, at) + word[at + 1] + word[at] + word.slice(at + 2);
};
const keys = /[{,\n] *(complete|parts|traces|nets|buzzed|seen|style|load|role|volts|channel|pinout|value|wiring)(?=:)/g;
const slips: Readonly<Record<string, Slip>> = {
  'a letter of a key': atOneOf(keys, withoutALetter),
  'two letters of a key turned round': atOneOf(keys, turned),
  'a letter of a word of the vocabulary': atOneOf(
    /(?:role|style): (ground|supply|audio-out|chassis|jack-trrs|usb-micro-b|xlr-3)/g,
    withoutALetter,
  ),
  'a letter of a pin': atOneOf(/U1\.(AVDD|AGND|nRESET|HPVDD|HPGND|HPCOM|BYPASS)/g, withoutALetter),
  'a letter of a contact': atOneOf(/J1\.(sleeve|shell|centre|ring2)/g, withoutALetter),
  'the prefix of a value': atOneOf(/: (\d+ uF)/g, (word) => word.replace('uF', 'MF')),
};

/** Both spellings of micro are one. */
const spelt = (text: string) => text.replace(/ uF/g, ' µF');

describe('a slip on a healthy board, mended by what is offered', () => {
  for (const [what, slip] of Object.entries(slips))
    it(`${what}: some fix leads back to the very text`, async () => {
      let [met, back] = [0, 0];
      for (const [index, text] of Object.values(boards).entries()) {
        const whole = remarked(text);
        const slipped = slip(whole, uniform(index + 1));
        if (slipped === undefined || slipped === whole) continue;
        const results = await mended({ ...pinouts, [file]: slipped });
        met++;
        if (results.map(spelt).includes(spelt(whole))) back++;
      }
      expect(met).toBeGreaterThan(2);
      expect(back, `of ${met}`).toBe(met);
    });
});
