import type { Complex } from '../../circuit/complex';
import type { OutputSource } from '../../circuit/from-board/chips';
import { weightsOf } from '../../circuit/from-board/chips';
import type { Programme } from '../../circuit/from-board/played';
import type { Context } from './context';
import { type Phasors, times } from './ports';
import type { Effect } from './types';

/** What a source gives: peak volts as a phasor. `chip` and `name` say whose level is shared. */
export interface Driven {
  readonly name: string;
  readonly chip: string | undefined;
  readonly volts: Complex;
}

/**
 * What the board's outputs give for a programme at a frequency in Hz, under an effect; null: for something broadband, in which a
 * delay has no phase and an echo adds as power; `octave`: the Hz over which an echo's comb is averaged. An output whose full scale is unknown counts as 1 V.
 */
export function drivenBy(
  outputs: readonly OutputSource[],
  programme: Programme,
  hertz: number | null,
  effect: Effect,
  octave?: readonly [number, number],
): Driven[] {
  const left = effect.without === 'left' ? { re: 0, im: 0 } : { re: programme.left, im: 0 };
  const right = effect.without === 'right' ? { re: 0, im: 0 } : { re: programme.right, im: 0 };
  let sides = { left, right };
  for (const { side, by } of effect.quieter ?? []) sides = { ...sides, [side]: times(sides[side], { re: by, im: 0 }) };
  for (const { side, seconds } of effect.delays ?? [])
    if (hertz !== null) sides = { ...sides, [side]: times(sides[side], turned(hertz, seconds)) };
  if (effect.exchanged) sides = { left: sides.right, right: sides.left };
  let echo: Complex = { re: 1, im: 0 };
  for (const { by, seconds } of effect.echoes ?? []) {
    const late = hertz === null ? null : turned(hertz, seconds);
    if (late === null) echo = times(echo, { re: Math.hypot(1, by), im: 0 });
    else if (octave) echo = times(echo, { re: combed(by, seconds, octave), im: 0 });
    else echo = times(echo, { re: 1 + by * late.re, im: by * late.im });
  }
  return outputs.flatMap((output): Driven[] => {
    if (effect.dead?.some((dead) => dead.output === output.name)) return [];
    const part = output.pin.part;
    const mode = effect.modes?.find((one) => one.part === part.designator)?.mode ?? part.modeName;
    const weights = weightsOf(output.pin, mode);
    if (!weights) return [];
    const sign = (effect.flips ?? []).filter((name) => name === output.name).length % 2 === 1 ? -1 : 1;
    const full = sign * (output.fullScale ?? 1) * Math.SQRT2;
    const sum = {
      re: full * (weights.left * sides.left.re + weights.right * sides.right.re),
      im: full * (weights.left * sides.left.im + weights.right * sides.right.im),
    };
    const volts = times(sum, echo);
    return volts.re === 0 && volts.im === 0 ? [] : [{ name: output.name, chip: part.designator, volts }];
  });
}

/** RMS over an octave of evenly spread noise and its echo: the mean of |1 + a·e^(−jωτ)|² between two frequencies, in closed form. */
export function combed(by: number, seconds: number, [from, to]: readonly [number, number]): number {
  const [low, high] = [2 * Math.PI * from * seconds, 2 * Math.PI * to * seconds];
  const cosine = high > low ? (Math.sin(high) - Math.sin(low)) / (high - low) : Math.cos(low);
  return Math.sqrt(Math.max(0, 1 + by * by + 2 * by * cosine));
}

const turned = (hertz: number, seconds: number): Complex => {
  const angle = -2 * Math.PI * hertz * seconds;
  return { re: Math.cos(angle), im: Math.sin(angle) };
};

/** Volts of every node of a network with its sources driven so. */
export function summed(context: Context, driven: readonly Driven[]): Phasors {
  let nodes: Phasors | undefined;
  for (const { name, volts } of driven) {
    const response = context.ports.response(name);
    nodes ??= new Float64Array(response.length);
    for (let k = 0; k < response.length; k += 2) {
      nodes[k]! += response[k]! * volts.re - response[k + 1]! * volts.im;
      nodes[k + 1]! += response[k]! * volts.im + response[k + 1]! * volts.re;
    }
  }
  return nodes ?? new Float64Array(2 * context.ports.nodes);
}
