import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import FFT from 'fft.js';
import { noise, sine, sum, times, uniform, wav } from '../tests/signal/make';

/**
 * Writes the recordings of the sample boards from the parameters below: `npm run samples`. Same parameters, same bytes. They are
 * what a 48 kHz recorder of 10 kΩ, 1 V peak at full scale, would hold if the board did what the parameters say.
 */

const rate = 48000;
/** The chip: volts RMS of a 0 dBFS sine behind its source impedance, then a series resistor, a bleeder and the recorder. */
const chip = { fullScale: 0.8, impedance: 20 };
const series = 100;
const load = 1 / (1 / 47e3 + 1 / 10e3);
const recorder = { fullScale: 1, noise: 20e-6 };
/** Crosstalk on the board, and the left side's excess over the right, as part tolerances give them. */
const leak = 10 ** (-78 / 20);
const excess = 10 ** (0.05 / 20);

/** What each output carries of the left and the right programme. */
const modes = {
  stereo: { left: [1, 0], right: [0, 1] },
  differential: { left: [0.5, 0.5], right: [-0.5, -0.5] },
  swapped: { left: [0, 1], right: [1, 0] },
  mono: { left: [0.5, 0.5], right: [0.5, 0.5] },
  rightDead: { left: [1, 0], right: [0, 0] },
} as const;

const tone = (level: number): Float64Array =>
  sine({ rate, frames: rate, frequency: 997, amplitude: Math.SQRT2 * 10 ** (level / 20) });

/** Pink noise, 20 Hz to 20 kHz: equal power an octave, random phases; its RMS is that of a sine at the level. */
function pink(level: number, seed: number): Float64Array {
  const frames = 65536;
  const draw = uniform(seed);
  const fft = new FFT(frames);
  const spectrum = fft.createComplexArray();
  for (let bin = Math.ceil((20 * frames) / rate); bin < (20e3 * frames) / rate; bin++) {
    const phase = 2 * Math.PI * draw();
    spectrum[2 * bin] = Math.cos(phase) / Math.sqrt(bin);
    spectrum[2 * bin + 1] = Math.sin(phase) / Math.sqrt(bin);
  }
  fft.completeSpectrum(spectrum);
  const out = fft.createComplexArray();
  fft.inverseTransform(out, spectrum);
  const real = Float64Array.from({ length: frames }, (_, n) => out[2 * n]!);
  const rms = Math.sqrt(real.reduce((total, value) => total + value * value, 0) / frames);
  return times(real, 10 ** (level / 20) / rms);
}

/** Left and right programme in units of the RMS of a full-scale sine. */
const stimuli = {
  left: () => [tone(-12), undefined],
  right: () => [undefined, tone(-12)],
  both: () => [tone(-12), tone(-12)],
  unlike: () => [pink(-18, 11), pink(-18, 12)],
} as const;

const captures: readonly (readonly [string, keyof typeof modes, keyof typeof stimuli])[] = [
  ['tidemill/captures/healthy-left', 'stereo', 'left'],
  ['tidemill/captures/healthy-right', 'stereo', 'right'],
  ['tidemill/captures/healthy-both', 'stereo', 'both'],
  ['tidemill/captures/healthy-unlike', 'stereo', 'unlike'],
  ['tidemill/captures/hollow-left', 'differential', 'left'],
  ['tidemill/captures/hollow-right', 'differential', 'right'],
  ['tidemill/captures/hollow-both', 'differential', 'both'],
  ['tidemill/captures/hollow-unlike', 'differential', 'unlike'],
  ['faults/captures/swapped-left', 'swapped', 'left'],
  ['faults/captures/swapped-right', 'swapped', 'right'],
  ['faults/captures/dead-both', 'rightDead', 'both'],
  ['faults/captures/summed-unlike', 'mono', 'unlike'],
];

captures.forEach(([file, mode, stimulus], index) => {
  const [left, right] = stimuli[stimulus]();
  const frames = (left ?? right)!.length;
  const silent = new Float64Array(frames);
  const volts = (chip.fullScale * load) / (load + chip.impedance + series);
  const output = ([ofLeft, ofRight]: readonly [number, number]) =>
    sum(times(left ?? silent, volts * ofLeft), times(right ?? silent, volts * ofRight));
  const l = times(output(modes[mode].left), excess);
  const r = output(modes[mode].right);
  const hiss = noise(100 + index);
  const dither = uniform(200 + index);
  const step = recorder.fullScale / 32768;
  const recorded = ([own, other]: readonly [Float64Array, Float64Array]) =>
    own.map(
      (value, n) =>
        (value + leak * other[n]! + recorder.noise * hiss() + step * (dither() - dither())) / recorder.fullScale,
    );
  const path = join('samples', `${file}.wav`);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, wav([recorded([l, r]), recorded([r, l])], { rate, bits: 16 }));
});
