import type { Diagnosis } from '../../../../server/src/diagnosis/causes/types';
import { boardOf, diagnose } from '../bench';
import { type Broken, type Fault, faultName, faultsOf } from './faults';
import { type Verdict, verdict } from './ideal';
import { flat, Quick } from './quick';
import { drawSpecimen, figuresOf, noise, type Seen, type Specimen, simulate, withNoise } from './simulate';
import { apart } from './spread';
import { Draw, drawWorld, type Family, type World } from './world';

/** One board drawn, perhaps broken, measured and diagnosed. */
export interface Trial {
  readonly world: World;
  readonly fault: Fault | null;
  readonly form: Broken;
  readonly specimen: Specimen;
  readonly seen: Seen;
  readonly volts: number;
  readonly diagnosis: Diagnosis;
  /** Whether the first group holds the true cause; its size and probability. */
  readonly found: boolean;
  readonly size: number;
  readonly probability: number;
  readonly ms: number;
}

/** Draws a trial from a seed; `healthy` of the boards have no fault, the others one of those wanted; `size`: about how many parts. */
export function trial(
  seed: number,
  families: readonly Family[],
  healthy: number | ((world: World) => number) = 0,
  simulated = simulate,
  wanted: (fault: Fault, world: World) => boolean = () => true,
  size?: number,
): Trial {
  const world = drawWorld(seed, families, size);
  const draw = new Draw(seed * 7919 + 13);
  const fault =
    draw.number() < (typeof healthy === 'number' ? healthy : healthy(world))
      ? null
      : weighted(
          faultsOf(world).filter((one) => wanted(one, world)),
          draw,
        );
  const form = fault === null ? {} : fault.form(draw);
  const specimen = drawSpecimen(world, draw);
  const seen = withNoise(simulated(world, specimen, form), draw);
  const volts = form.unpowered ? 0.004 : 3.3 * (1 + noise.reading * draw.gauss());
  const board = boardOf(world.text.replace('READING', `${volts.toFixed(3)} V`), world.pinout);
  const start = performance.now();
  const diagnosis = diagnose({ board, figures: figuresOf(seen) });
  const ms = performance.now() - start;
  const first = diagnosis.causes.filter(({ group }) => group === 1);
  return {
    world,
    fault,
    form,
    specimen,
    seen,
    volts,
    diagnosis,
    found: first.some((cause) => faultName(cause) === nameOfFault(fault)),
    size: first.length,
    probability: first.reduce((sum, cause) => sum + cause.probability, 0),
    ms,
  };
}

export const nameOfFault = (fault: Fault | null): string => (fault === null ? 'as-designed' : faultName(fault));

function weighted(faults: readonly Fault[], draw: Draw): Fault {
  let left = draw.number(
    0,
    faults.reduce((sum, { odds }) => sum + odds, 0),
  );
  for (const fault of faults) {
    left -= fault.odds;
    if (left < 0) return fault;
  }
  return faults[faults.length - 1]!;
}

/** Standard deviations by which the noise-free figures of a trial's fault lie from those of a healthy board. */
export const visible = ({ world, form }: Trial): number => Math.sqrt(Math.max(0, apart(new Quick(world), form, {})));

/** The share of healthy boards where a board that is as designed has odds of 100 beside those of the faults' table. */
export const byOdds = (world: World): number => 100 / faultsOf(world).reduce((sum, { odds }) => sum + odds, 100);

/** What the ideal observer says of the same board, told how many boards are healthy. */
export const ideal = (
  { world, fault, form, seen, volts }: Trial,
  healthy: number | ((world: World) => number),
  draws: number,
): Verdict => {
  const share = typeof healthy === 'number' ? healthy : healthy(world);
  return verdict(world, faultsOf(world), { fault, form }, flat(seen), volts, share, draws);
};

/** Expected calibration error in tenths: how far the first group's probability lies from how often it is right. */
export function calibration(trials: readonly Trial[]): number {
  let error = 0;
  for (let bin = 0; bin < 10; bin++) {
    const own = trials.filter(({ probability }) => Math.min(9, Math.floor(probability * 10)) === bin);
    const mean = own.reduce((sum, one) => sum + one.probability - (one.found ? 1 : 0), 0);
    error += Math.abs(mean) / trials.length;
  }
  return error;
}
