import type { Complex } from '../../circuit/complex';
import type { Context } from './context';
import { diodeRange, diodeTest, lnAmps, lnFarads, lnOhms } from './metered';
import { times, type View, wire } from './ports';
import { floors, overRange } from './priors';
import type { StagedMeter } from './staged';
import type { Effect } from './types';

/** What a meter would show under an effect: its value, and how that moves with what is uncertain. */
export interface Shown {
  readonly value: number;
  /** What an admittance change of `step` at port `own` moves the value by; undefined where nothing shared moves it. */
  readonly move?: (own: number, step: Complex) => number;
}

/** Meters on the unpowered board: ohms, a diode range, capacitance, series resistance. */
export function passive({ meter, context, port }: StagedMeter, view: View, effect: Effect): Shown {
  const column = context.ports.column(port);
  const z = view.across(column, port);
  const dz = (own: number, step: Complex): Complex => {
    const out = times(view.across(context.ports.column(own), port), times(step, view.across(column, own)));
    return { re: -out.re, im: -out.im };
  };
  switch (meter.kind) {
    case 'diode':
      return { value: Math.min(junction(context, meter.from, meter.to!, effect), Math.max(z.re, 0) * diodeTest) };
    case 'farads': {
      const square = Math.max(z.re ** 2 + z.im ** 2, 1e-30);
      const siemens = { re: z.re / square, im: -z.im / square };
      const farads = siemens.im / (2 * Math.PI * context.frequency);
      if (!(farads > 1e-13)) return { value: lnFarads(0) };
      return {
        value: lnFarads(farads),
        // d(1/Z) = −dZ/Z².
        move: (own, step) => -times(times(siemens, siemens), dz(own, step)).im / siemens.im,
      };
    }
    case 'esr': {
      const part = context.bench.copper.parts.get(meter.part!);
      const changed = (effect.changes ?? []).some(({ element }) => element === meter.part);
      const own = part?.esr !== undefined || changed ? 0 : usualEsr(part?.value?.value);
      return { value: lnOhms(z.re + own) };
    }
    default:
      return {
        value: Math.min(Math.max(z.re, wire), overRange),
        move: (own, step) => dz(own, step).re,
      };
  }
}

/**
 * Ω in series that a healthy capacitor has at 100 kHz where nobody states it: a sixth of what a loss factor of 0.15 at 120 Hz gives
 * for an electrolytic (general aluminium: 0.1 to 5 Ω; from memory); little below 1 µF.
 */
export const usualEsr = (farads: number | undefined): number =>
  farads === undefined || farads < 1e-6 ? 0.02 : Math.min(5, 0.15 / (2 * Math.PI * 120 * farads) / 6);

/** V at which a diode that lies right between the points lets the test current through, red lead on the first; the range's end if none does. */
function junction(context: Context, from: string, to: string, effect: Effect): number {
  const { bench } = context;
  const [red, black] = [bench.nodeOf(from), bench.nodeOf(to)];
  let volts = diodeRange;
  for (const element of context.diodes) {
    const change = (effect.changes ?? []).find((one) => one.element === element.name)?.becomes;
    if (change === 'open' || change === 'short') continue;
    const ends = change === 'reversed' ? [element.b, element.a] : [element.a, element.b];
    if (ends[0] === red && ends[1] === black) volts = Math.min(volts, element.drop);
    else if (ends[0] === black && ends[1] === red && element.breakdown !== undefined)
      volts = Math.min(volts, element.breakdown);
  }
  return volts;
}

/** A of a supply that feeds something, where nobody says what: from 1 mA to 1 A, even in ln. Common practice, no source. */
const usualAmps = 0.03;
/** A into a short, at least; and of a circuit that is dead, at most. */
const shortAmps = 1.5;
const deadAmps = 1e-5;
/** Share of its volts below which what a part feeds is dead. */
const dead = 0.3;

/**
 * ln of the A through a part: what the network itself takes where that is much, else what chips take, of which the network knows
 * nothing; next to nothing where the part is open or no volts are left beside it.
 */
export function current(
  { meter, context }: StagedMeter,
  effect: Effect,
  volts: (from: string, to: string) => { readonly now: number; readonly designed: number },
): Shown {
  const changed = (effect.changes ?? []).find(({ element }) => element === meter.part)?.becomes;
  if (changed === 'open') return { value: lnAmps(deadAmps) };
  const shorted =
    (effect.bridges ?? []).length > 0 || (effect.changes ?? []).some(({ becomes }) => becomes === 'short');
  const gone = (effect.rails ?? []).some(({ share }) => share === 0);
  if (shorted && gone) return { value: lnAmps(shortAmps) };
  const { reference } = context.bench;
  const sides = [meter.from, meter.to!].map((point) => volts(point, reference));
  const own = context.siemens(meter.part!, effect);
  const through = Math.abs(volts(meter.from, meter.to!).now) * own;
  if (through > shortAmps / 3) return { value: lnAmps(Math.min(through, 10)) };
  if (sides.some(({ now, designed }) => Math.abs(designed) > 0.5 && Math.abs(now) < dead * Math.abs(designed)))
    return { value: lnAmps(Math.max(deadAmps, through)) };
  return { value: lnAmps(Math.max(usualAmps, through)) };
}

/** Probability that a crystal is seen to run. */
export function clockRuns({ meter, context }: StagedMeter, { dead: silent }: Effect): Shown {
  if (silent?.some(({ output }) => output === meter.part)) return { value: floors.deadClock };
  const crystal = context.bench.copper.parts.get(meter.part!);
  const outputs = context.bench.board.outputs.filter(
    ({ pin }) => crystal && onChip(context, pin.part.designator, meter),
  );
  const without =
    outputs.length > 0 && outputs.every(({ name }) => silent?.some((one) => one.output === name && one.bias));
  return { value: without ? floors.unpoweredClock : 1 - floors.deadClock };
}

const onChip = ({ bench }: Context, designator: string, { from }: StagedMeter['meter']): boolean =>
  (bench.copper.node(from)?.pins ?? []).some(({ part }) => part.designator === designator);
