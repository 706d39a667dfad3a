import { fadeAt } from './chirp';
import type { Stimulus } from './figures';
import { noiseRms, noiseSource, renderSequence, sequenceSeconds, signs, tones } from './sequence';

/** A file that `buzzout signals` writes. */
export interface TestSignal {
  /** Its name without the extension. */
  readonly name: string;
  readonly stimulus: Stimulus;
  readonly seconds: number;
  /** What it is for, one sentence. */
  readonly shows: string;
  /** What to write as `stimulus:` of a capture made with it, at a level in dBFS. */
  readonly written: (level: number) => string;
  /** Left and right at a rate in Hz; level in dBFS of the tone (a full-scale sine is 0, AES17). */
  readonly render: (rate: number, level: number) => [Float64Array, Float64Array];
}

/** Levels that may be asked for, dBFS. −12 leaves headroom for a gain of four; above −3 noise and inter-sample peaks clip. */
export const levels = { least: -80, usual: -12, most: -3 } as const;
/** Sampling rates that may be asked for, Hz: all parts must fit below half of it. */
export const rates = { least: 16000, usual: 48000, most: 192000 } as const;

/** Printed whenever test signals are written. Common practice for the wording; tweeters: from memory. */
export const loudnessCaution =
  'Caution: these are steady test tones. Start with the volume at its lowest, and never wear headphones while connecting or ' +
  'running them: 1 V into 32 Ω headphones of 100 dB per milliwatt is 115 dB. Into loudspeakers start at -40 dBFS: a tweeter ' +
  'burns out in seconds on a loud high tone. Follow local rules on noise at work.';

const fade = 0.01;

const toneOn = (side: NonNullable<Stimulus['side']>, shows: string): TestSignal => ({
  name: side,
  stimulus: { kind: 'tone', tone: tones.main, side },
  seconds: 5,
  shows,
  written: (level) => `{tone: ${tones.main} Hz, side: ${side}, level: ${level} dBFS}`,
  render: (rate, level) =>
    render(rate, 5, (t) => 10 ** (level / 20) * Math.sin(2 * Math.PI * tones.main * t), signs[side]),
});

/** Level of the noise, dBFS: that of the tone as far as its peaks allow. */
const noiseLevel = (level: number) => 20 * Math.log10(noiseRms(10 ** (level / 20)) * Math.SQRT2);

const sweep = { low: 20, high: 20000, seconds: 10 };

/** Phase of the exponential sweep at `t` s, up to its top or 0.45 of the rate. */
function sweepPhase(t: number, rate: number): number {
  const octaves = Math.log(Math.min(sweep.high, 0.45 * rate) / sweep.low);
  return ((2 * Math.PI * sweep.low * sweep.seconds) / octaves) * Math.expm1((t * octaves) / sweep.seconds);
}

export const testSignals: readonly TestSignal[] = [
  toneOn('left', 'Levels, distortion and crosstalk with the left side driven alone; swapped or dead sides.'),
  toneOn('right', 'The same with the right side driven alone.'),
  toneOn('both', 'Balance; opposed channels; an open return, in which this vanishes.'),
  toneOn('opposed', 'A reversed side becomes the same on both here; a sum to mono vanishes.'),
  {
    name: 'unlike',
    stimulus: { kind: 'noise', side: 'unlike' },
    seconds: 10,
    shows: 'Unrelated noise on each side: tells real stereo from a mono sum and from opposed legs.',
    written: (level) => `{noise: white, side: unlike, level: ${noiseLevel(level).toFixed(1)} dBFS}`,
    render: (rate, level) => {
      const sides = [11, 12].map((seed) => noiseSource(seed, 10 ** (level / 20)));
      const [left, right] = [sides[0]!, sides[1]!].map((draw) => render(rate, 10, () => draw(), [1, 0])[0]);
      return [left!, right!];
    },
  },
  {
    name: 'silence',
    stimulus: { kind: 'silence' },
    seconds: 5,
    shows: 'Noise, hum and whines.',
    written: () => 'silence',
    render: (rate) => [new Float64Array(5 * rate), new Float64Array(5 * rate)],
  },
  {
    name: 'sweep',
    stimulus: { kind: 'sweep', side: 'both' },
    seconds: sweep.seconds,
    shows: 'Response, delay between the sides and echoes: 20 Hz to 20 kHz, the same on both.',
    written: () => 'sweep',
    render: (rate, level) =>
      render(rate, sweep.seconds, (t) => 10 ** (level / 20) * Math.sin(sweepPhase(t, rate)), [1, 1]),
  },
  {
    name: 'all-in-one',
    stimulus: { kind: 'all-in-one' },
    seconds: sequenceSeconds,
    shows: 'Everything above but the sweep, in one take: record it from before its start to after its end.',
    written: () => 'all-in-one',
    render: renderSequence,
  },
];

function render(rate: number, seconds: number, of: (t: number) => number, [left, right]: readonly [number, number]) {
  const frames = Math.round(seconds * rate);
  const out: [Float64Array, Float64Array] = [new Float64Array(frames), new Float64Array(frames)];
  for (let n = 0; n < frames; n++) {
    const t = n / rate;
    const value = of(t) * fadeAt(t, seconds, fade);
    out[0][n] = left * value;
    out[1][n] = right * value;
  }
  return out;
}
