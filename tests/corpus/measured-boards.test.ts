import { describe, expect, it } from 'vitest';
import { noiseOf, sine, sum, times, uniform, wav } from '../signal/make';
import { findingsOf, plainFindingsOf } from './found';
import type { MeasuredBoard } from './measured-board';
import { measuredBoards } from './measured-boards';
import { moreSheets } from './more-sheets';

type Gains = ReturnType<MeasuredBoard['gains']>;

const rate = 48000;
const seconds = 0.25;
const frames = rate * seconds;
const morePinouts = Object.fromEntries(Object.entries(moreSheets).map(([name, text]) => [`${name}.pinout.yaml`, text]));

/** −12 dBFS of a 997 Hz tone (AES17), as volts of peak at full scale 1 V RMS. */
const level = 10 ** (-12 / 20) * Math.SQRT2;
const tone = sine({ rate, frames, frequency: 997, amplitude: level });
const nothing = new Float64Array(frames);
const voice = (seed: number) => noiseOf(seed, frames, level / 4);

/** What the chip plays on its left and right, and how the board says it. */
const played = {
  left: ['{tone: 997 Hz, side: left, level: -12 dBFS}', tone, nothing],
  right: ['{tone: 997 Hz, side: right, level: -12 dBFS}', nothing, tone],
  both: ['{tone: 997 Hz, side: both, level: -12 dBFS}', tone, tone],
  opposed: ['{tone: 997 Hz, side: opposed, level: -12 dBFS}', tone, times(tone, -1)],
  unlike: ['{noise: white, side: unlike}', voice(1), voice(2)],
  silence: ['silence', nothing, nothing],
  music: ['{programme: music}', sum(voice(3), times(voice(4), 0.6)), sum(voice(3), times(voice(5), 0.6))],
  speech: ['{programme: speech, side: both}', voice(6), voice(6)],
} as const;
type Take = keyof typeof played;

/** A recorder: 16 bits, its full scale 4 dB above the loudest, a floor of −95 dBFS. */
function recording(name: Take, gains: Gains, fullScale: number, range: number): Uint8Array {
  const [, left, right] = played[name];
  return wav(
    gains.map(([ofLeft, ofRight], channel) =>
      sum(
        times(left, (fullScale * ofLeft) / range),
        times(right, (fullScale * ofRight) / range),
        noiseOf(100 + channel, frames, 10 ** (-95 / 20) / Math.SQRT2),
      ),
    ),
    { rate, bits: 16 },
  );
}

interface Told {
  readonly takes?: readonly Take[];
  readonly gains?: (healthy: Gains) => Gains;
  readonly change?: (text: string) => string;
  readonly scaled?: boolean;
  /** With the checks that reason about the whole board. */
  readonly reasoned?: boolean;
}

/** Check and message of all that is found on a board with such recordings. */
async function told(
  board: MeasuredBoard,
  seed: number,
  { takes, gains, change, scaled = true, reasoned = false }: Told,
) {
  const draw = uniform(seed);
  const off = (percent: number) => 1 + ((2 * draw() - 1) * percent) / 100;
  const healthyGains = board.gains(off);
  const now = gains ? gains(healthyGains) : healthyGains;
  const loudest = Math.max(0.05, ...now.map(([left, right]) => Math.abs(left) + Math.abs(right)));
  const range = Number((board.fullScale * loudest * level * 1.6).toPrecision(3));
  const names = takes ?? (Object.keys(played) as Take[]);
  const files = Object.fromEntries(names.map((name) => [`${name}.wav`, recording(name, now, board.fullScale, range)]));
  const captures = names.map(
    (name) => `  ${name}:
    file: ${name}.wav
    stimulus: ${played[name][0]}
    channels: {1: ${board.points[0]}, 2: ${board.points[1]}}
    ground-lead: ${board.clip}
    ${scaled ? `full-scale: ${range} V` : 'probe: x1'}
`,
  );
  const text = `${(change ?? ((same) => same))(board.text)}captures:\n${captures.join('')}`;
  return (reasoned ? findingsOf : plainFindingsOf)(text, { ...morePinouts, ...files });
}

const boards = Object.entries(measuredBoards);

describe('healthy boards of many kinds, recorded', () => {
  it.each(boards)('%s: nothing is found, whatever is played', async (_, board) => {
    expect(await told(board, 1, { takes: ['left', 'right', 'both', 'silence', 'music'], reasoned: true })).toEqual([]);
    expect(await told(board, 2, {})).toEqual([]);
    expect(await told(board, 3, { scaled: false })).toEqual([]);
  });
});

/** What a fault between the chip and the recorder makes of the two signals, what must be told of it, and where. */
const mutations: Readonly<
  Record<string, { readonly gains: (healthy: Gains) => Gains; readonly takes: readonly Take[]; readonly tells: string }>
> = {
  'sides swapped': {
    gains: ([left, right]) => [right, left],
    takes: ['left', 'right', 'both'],
    tells: 'warning channels-swapped',
  },
  'right side dropped': {
    gains: ([left]) => [left, [0, 0]],
    takes: ['left', 'right', 'both'],
    tells: 'warning channel-dead',
  },
  'left side dropped': {
    gains: ([, right]) => [[0, 0], right],
    takes: ['both', 'unlike'],
    tells: 'warning channel-dead',
  },
  'one polarity reversed': {
    gains: ([left, [a, b]]) => [left, [-a, -b]],
    takes: ['left', 'right', 'both'],
    tells: 'warning channels-antiphase',
  },
  'sides shorted together': {
    gains: ([[a, b], [c, d]]) => {
      const both: [number, number] = [(a + c) / 2, (b + d) / 2];
      return [both, both];
    },
    takes: ['left', 'both', 'unlike'],
    tells: 'warning channels-identical',
  },
  'the common lifted': {
    // What is plugged in hangs between the two outputs: half of their difference on each.
    gains: ([[a], [, d]]) => [
      [a / 2, -d / 2],
      [-a / 2, d / 2],
    ],
    takes: ['left', 'right', 'unlike'],
    tells: 'warning channels-antiphase',
  },
};

/** A wrong value: what is told where the network predicts the level, and where it does not. */
const wrongValues: Readonly<
  Record<string, { readonly gains: (healthy: Gains) => Gains; readonly predicted: string[]; readonly not: string[] }>
> = {
  'half the level on the right': {
    gains: ([left, [a, b]]) => [left, [a / 2, b / 2]],
    predicted: ['warning level-unexpected'],
    not: ['warning channels-unequal'],
  },
  'a third of the level on both': {
    gains: ([[a, b], [c, d]]) => [
      [a / 3, b / 3],
      [c / 3, d / 3],
    ],
    predicted: ['warning level-unexpected'],
    not: [],
  },
};

const names = (found: readonly string[]) => found.map((line) => line.slice(0, line.indexOf(':')));
const stereo = boards.filter(([, board]) => board.stereo);

describe('the same with one thing wrong', () => {
  for (const [fault, { gains, takes, tells }] of Object.entries(mutations))
    it.each(stereo)(`${fault}, %s: exactly that`, async (_, board) => {
      const found = await told(board, 5, { takes, gains });
      expect(names(found)).toEqual([tells]);
    });

  for (const [fault, { gains, predicted, not }] of Object.entries(wrongValues))
    it.each(stereo)(`${fault}, %s: exactly that`, async (_, board) => {
      const found = await told(board, 6, { takes: ['left', 'right', 'both'], gains });
      expect(names(found)).toEqual(board.predicted ? predicted : not);
      const unscaled = await told(board, 6, { takes: ['left', 'right', 'both'], gains, scaled: false });
      expect(names(unscaled)).toEqual(fault.includes('both') ? [] : ['warning channels-unequal']);
    });
});

/** The contacts exchanged in the joins that reach them, and those joins no more than guessed. */
function crossedByGuess(text: string): string {
  const swapped = (line: string) =>
    line.replace(/J1\.(tip|ring)/g, (_, name) => `J1.${name === 'tip' ? 'ring' : 'tip'}`);
  const guesses = text.split('\n').filter((line) => /^ {4}- .*J1\.(tip|ring)/.test(line));
  const others = text.split('\n').filter((line) => !guesses.includes(line));
  return others.join('\n').replace('nets:', () => `  assumed:\n${guesses.map(swapped).join('\n')}\nnets:`);
}

describe('the same with tip and ring exchanged in copper that is guessed', () => {
  it.each(stereo.filter(([, { text }]) => text.includes('J1.tip')))(
    '%s: one finding a step less severe, and what it rests on',
    async (_, { text }) => {
      const found = await plainFindingsOf(crossedByGuess(text), morePinouts);
      expect(names(found).sort()).toEqual(['info channel-crossed', 'info evidence-weak']);
      expect(found.find((line) => line.includes('channel-crossed'))).toMatch(
        /This rests on assumed .*: buzz it out\.$/,
      );
    },
  );
});
