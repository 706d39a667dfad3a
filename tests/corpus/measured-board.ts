/**
 * Healthy boards with what a recorder hears on them. The gains are closed forms of the parts, written out by hand here and sharing
 * nothing with the network solver; `off` is what chance makes of a part within its tolerance.
 */
export interface MeasuredBoard {
  readonly text: string;
  /** Points of channels 1 and 2, and where the clip sits. */
  readonly points: readonly [string, string];
  readonly clip: string;
  /** V RMS of a 0 dBFS sine at the chip. */
  readonly fullScale: number;
  /** Of each point, V per V of the left and of the right output, for parts that are off by what `off` says. */
  readonly gains: (off: Off) => readonly [readonly [number, number], readonly [number, number]];
  /** Whether the two points are a left and a right that may be mutated as such. */
  readonly stereo: boolean;
  /** Whether the network knows the way well enough to predict the level. */
  readonly predicted: boolean;
}

/** A factor near 1 for a part: by its tolerance in per cent, by chance. */
export type Off = (percent: number) => number;

/** Ω of resistors side by side. */
export const beside = (...ohms: readonly number[]) => 1 / ohms.reduce((sum, one) => sum + 1 / one, 0);

/** Lines of the stereo converter that most of the boards have: its parts and joins, and its nets. */
export const converter = `  U1: {pinout: dac, mode: stereo}
  C1: 100 nF 16 V
  C2: 22 uF 6.3 V
  C3: 22 uF 6.3 V
  R5: 10 k
  R6: 10 k`;
export const converterJoins = `    - U1.AVDD C1.1 R5.1 V33
    - U1.AOUTL C2.+
    - U1.AOUTR C3.+
    - U1.nRESET R5.2
    - U1.MUTE R6.1
    - U1.XIN
    - U1.XOUT`;
export const v33 = '  GND: {role: ground}\n  V33: {role: supply, volts: 3.3 V}';
