import { sine, times } from '../../signal/make';
import { boardOf, diagnose, measuredAs } from './bench';

/** A coupled stereo stage into a line input, and recordings of it made from Ohm's law alone. */

export const stage = `pinout: stage
pins:
  1: {name: OUTL, role: audio-out, channel: left, return: 3, bias: 1.65 V, full-scale: 1 V, impedance: 20}
  2: {name: OUTR, role: audio-out, channel: right, return: 3, bias: 1.65 V, full-scale: 1 V, impedance: 20}
  3: GND
`;

/** @param captures see `capture` @param readings lines of readings @param more further lines under parts, traces and nets */
export const coupled = (
  captures: string,
  readings: readonly string[] = [],
  more: { parts?: string; traces?: string; nets?: string } = {},
): string => `board: Coupled stage
parts:
  U1: {pinout: stage}
  C1: 22 uF
  C2: 22 uF
  R1: 470
  R2: 470
  R3: 10 k
  R4: 10 k
  J1: {style: jack-trs, load: 10 k}
${more.parts ?? ''}traces:
  buzzed:
    - U1.OUTL C1.1
    - U1.OUTR C2.1
    - C1.2 R1.1
    - C2.2 R2.1
    - R1.2 R3.1 J1.tip LEFT
    - R2.2 R4.1 J1.ring RIGHT
    - U1.3 R3.2 R4.2 J1.sleeve GND
${more.traces ?? ''}nets:
  GND: {role: ground}
  LEFT: {role: audio-out, channel: left}
  RIGHT: {role: audio-out, channel: right}
${more.nets ?? ''}${readings.length > 0 ? `readings:\n${readings.map((line) => `  - ${line}\n`).join('')}` : ''}${captures === '' ? '' : `captures:\n${captures}`}`;

export const capture = (name: string, stimulus: string, scaled = true): string =>
  `  ${name}: {file: ${name}.wav, stimulus: {${stimulus}}, channels: {1: LEFT, 2: RIGHT}, ground-lead: GND${scaled ? ', full-scale: 2 V' : ''}}\n`;

export const tone = (name: string, side: string, scaled = true): string =>
  capture(name, `tone: 997 Hz, side: ${side}, level: -12 dBFS`, scaled);

export const rate = 48000;
export const frames = rate / 2;
/** Over the recorder's 2 V: 1 V RMS at −12 dBFS, peak, behind 490 Ω into 10 k ∥ 10 k (Ohm's law; the capacitor's 7 Ω do not show). */
export const normal = (Math.SQRT2 * (5000 / 5490) * 10 ** (-12 / 20)) / 2;

/** The tone as the healthy stage brings it to one contact, times a factor. */
export const heard = (by = 1): Float64Array =>
  times(sine({ rate, frames, frequency: 997, amplitude: normal, phase: 0.4 }), by);

export const db = (level: number): number => 10 ** (level / 20);

/** The diagnosis of such a board from recordings given as samples. */
export async function diagnosed(text: string, recordings: Readonly<Record<string, readonly Float64Array[]>> = {}) {
  const on = boardOf(text, stage);
  return diagnose({ board: on, figures: await measuredAs(on, recordings) });
}
