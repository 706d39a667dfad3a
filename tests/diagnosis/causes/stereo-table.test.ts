import { describe, expect, test } from 'vitest';
import { noiseOf, sine, sum, times } from '../../signal/make';
import { boardOf, diagnose, leading, measuredAs } from './bench';

/*
 * Every row of the table of output stages: levels in dB re the normal level of one driven channel, worked out there by
 * simulation over 10 s; the recordings are made from its numbers, never from the network. A stage of 1 Ω into 32 Ω, as in its
 * rows of a shared return. Full scale of the recorder 2 V.
 */
const pinout = `pinout: dc-stage
pins:
  1: {name: OUTL, role: audio-out, channel: left, return: 3, full-scale: 1 V, impedance: 1}
  2: {name: OUTR, role: audio-out, channel: right, return: 3, full-scale: 1 V, impedance: 1}
  3: GND
modes:
  stereo:            {OUTL: {left: 1}, OUTR: {right: 1}}
  differential:      {OUTL: {left: 0.5, right: 0.5}, OUTR: {left: -0.5, right: -0.5}}
  differential-left: {OUTL: {left: 1}, OUTR: {left: -1}}
`;

const board = `board: Output stage of 1 ohm into 32 ohm
parts:
  U1: {pinout: dc-stage}
  J1: {style: jack-trs, load: 32}
traces:
  buzzed:
    - U1.OUTL J1.tip LEFT
    - U1.OUTR J1.ring RIGHT
    - U1.3 J1.sleeve GND
nets:
  GND: {role: ground}
  LEFT: {role: audio-out, channel: left}
  RIGHT: {role: audio-out, channel: right}
captures:
${(
  [
    ['left', 'tone: 997 Hz, side: left'],
    ['right', 'tone: 997 Hz, side: right'],
    ['both', 'tone: 997 Hz, side: both'],
    ['opposed', 'tone: 997 Hz, side: opposed'],
    ['unlike', 'noise: white, side: unlike'],
  ] as const
)
  .map(
    ([name, stimulus]) =>
      `  ${name}: {file: ${name}.wav, stimulus: {${stimulus}, level: -12 dBFS}, channels: {1: J1.tip, 2: J1.ring}, ground-lead: J1.sleeve, full-scale: 2 V}`,
  )
  .join('\n')}
`;

/** Gains of left and right programme into the first and the second channel, as the table's levels and signs have them. */
type Mix = readonly [number, number, number, number];
const half = 10 ** (-6.0206 / 20);
/** Its rows of a shared return are re EMF: 32/33 of it is the normal level. */
const emf = 33 / 32;

const rows: Readonly<Record<string, { mix: Mix; cause: string | RegExp; late?: number; echo?: number }>> = {
  '0 normal stereo': { mix: [1, 0, 0, 1], cause: 'as-designed' },
  '(a) mono differential': { mix: [half, half, -half, -half], cause: 'output-mode U1 differential' },
  '(a′) mono differential from the left only': { mix: [1, 0, -1, 0], cause: 'output-mode U1 differential-left' },
  '(b) one channel reversed': { mix: [1, 0, 0, -1], cause: /^polarity-reversed/ },
  '(c) mono-summed': { mix: [half, half, half, half], cause: 'mono-summed J1.tip J1.ring' },
  '(d) right dead': { mix: [1, 0, 0, 0], cause: 'side-dead U1.2' },
  '(e) swapped': { mix: [0, 1, 1, 0], cause: 'sides-exchanged U1.1 U1.2' },
  '(f) shared return of 1 Ω': {
    mix: [emf * db(-0.52), -emf * db(-31.15), -emf * db(-31.15), emf * db(-0.52)],
    cause: 'common-return J1.sleeve',
  },
  '(f′) leakage at −40 dB': { mix: [1, db(-40), db(-40), 1], cause: 'leakage J1.tip J1.ring' },
  '(i) common open': { mix: [half, -half, -half, half], cause: 'return-open J1.sleeve' },
  // Peaks of 4.65 dB at multiples of 1/τ, mean power 1.76 dB: the table's arithmetic for a = 0.7071.
  '(h) comb of 1 ms on both sides': { mix: [1, 0, 0, 1], echo: 48, cause: /^echo/ },
  '(g) right late by 0.25 ms': { mix: [1, 0, 0, 1], late: 0.25e-3, cause: 'delayed U1.2' },
};

function db(level: number): number {
  return 10 ** (level / 20);
}

const rate = 48000;
const frames = rate / 2;
/** Peak volts over full scale of one driven channel: 1 V RMS · 32/33 · −12 dBFS, on a recorder of 2 V peak. */
const normal = (Math.SQRT2 * (32 / 33) * db(-12)) / 2;

function recordings({ mix: [a, b, c, d], late = 0, echo = 0 }: { mix: Mix; late?: number; echo?: number }) {
  const tone = (seconds = 0) =>
    sine({ rate, frames, frequency: 997, amplitude: normal, phase: 1.1 - 2 * Math.PI * 997 * seconds });
  const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
  const unlike = (seed: number) => noiseOf(seed, frames, normal / Math.SQRT2);
  const echoed = (clean: Float64Array) =>
    echo === 0 ? clean : clean.map((value, n) => value + Math.SQRT1_2 * clean[(n - echo + frames) % frames]!);
  const pair = (left: Float64Array, right: Float64Array, second = right) => [
    sum(echoed(sum(times(left, a), times(right, b))), hiss(5)),
    sum(echoed(sum(times(left, c), times(second, d))), hiss(6)),
  ];
  const played = (l: number, r: number) => pair(times(tone(), l), times(tone(), r), times(tone(late), r));
  return {
    left: played(1, 0),
    right: played(0, 1),
    both: played(1, 1),
    opposed: played(1, -1),
    unlike: pair(unlike(1), unlike(2)),
  };
}

describe('the table of output stages, all five stimuli', () => {
  for (const [row, { cause, ...made }] of Object.entries(rows))
    test(row, async () => {
      const on = boardOf(board, pinout);
      const diagnosis = diagnose({ board: on, figures: await measuredAs(on, recordings(made)) });
      expect(leading(diagnosis).first).toMatch(cause);
    });
});

describe('the same from recordings nobody has scaled', () => {
  // A comb on both sides is a loudness, and the loudness is what nobody knows.
  for (const [row, { cause, ...made }] of Object.entries(rows).filter(([, { echo }]) => echo === undefined))
    test(row, async () => {
      const on = boardOf(board.replaceAll(', full-scale: 2 V', ''), pinout);
      const diagnosis = diagnose({ board: on, figures: await measuredAs(on, recordings(made)) });
      expect(leading(diagnosis).first).toMatch(cause);
    });
});
