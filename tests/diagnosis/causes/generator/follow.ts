import type { Diagnosis } from '../../../../server/src/diagnosis/causes/types';
import { boardOf, diagnose } from '../bench';
import type { Fault } from './faults';
import { type More, measureMore, type Wanted } from './more';
import { figuresOf } from './simulate';
import { nameOfFault, type Trial } from './trial';
import { Draw, type World } from './world';

/** Measurements at most before a way of probing is given up. */
const most = 10;

/** The place is isolated when one place, whatever is wrong there, holds nine tenths of the probability, and it is the right one. */
function isolated({ causes }: Diagnosis, fault: Trial['fault']): boolean {
  const here = fault!.at.join();
  return causes.filter(({ at }) => at.join() === here).reduce((sum, { probability }) => sum + probability, 0) >= 0.9;
}

/** How far a way of choosing measurements came: how many it made, and whether the place was isolated by then. */
export interface Followed {
  readonly made: number;
  readonly isolated: boolean;
}

/** Measures on as a way of choosing says, until the place is isolated, the way knows no more, or `most` were made. */
export function follow(one: Trial, choose: (diagnosis: Diagnosis, step: number) => Wanted | undefined): Followed {
  const { world, fault, form, specimen, seen, volts } = one;
  const draw = new Draw(4711);
  const done: More[] = [];
  let { diagnosis } = one;
  for (let step = 0; ; step++) {
    if (isolated(diagnosis, fault)) return { made: step, isolated: true };
    const wanted = step < most ? choose(diagnosis, step) : undefined;
    if (!wanted) return { made: step, isolated: false };
    done.push(measureMore(world, specimen, form, wanted, `more-${step}`, draw));
    const readings = done.flatMap(({ reading }) => reading ?? []).join('\n');
    const captures = done.flatMap(({ capture }) => capture?.text ?? []).join('\n');
    const text =
      world.text.replace('READING', `${volts.toFixed(3)} V${readings === '' ? '' : `\n${readings}`}`) + captures;
    const figures = figuresOf(seen);
    for (const { capture } of done) if (capture) figures.set(capture.name, capture.figures);
    diagnosis = diagnose({ board: boardOf(text, world.pinout), figures });
  }
}

/** How many measurements it takes to isolate the cause; `most` where it does not. */
export function needed(one: Trial, choose: Parameters<typeof follow>[1]): number {
  const { made, isolated: done } = follow(one, choose);
  return done ? made : most;
}

/**
 * Two ways side by side over the same faults. What was not isolated is censored: told three ways, each of them `most`; the second way's
 * as what it made (it ran out of points, which flatters it); and only the faults that both isolated.
 */
export function compared(ours: readonly Followed[], theirs: readonly Followed[]): string {
  const full = ({ made, isolated: done }: Followed) => (done ? made : most);
  const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);
  const share = (a: number, b: number) => `${a} to ${b}: ${((100 * a) / b).toFixed(0)} %`;
  const both = ours.flatMap((one, k) => (one.isolated && theirs[k]!.isolated ? [k] : []));
  return [
    `${ours.length} faults; isolated ${ours.filter((one) => one.isolated).length} by the next probe, ${theirs.filter((one) => one.isolated).length} in signal order`,
    `measurements, what is not isolated counted as ${most}: ${share(sum(ours.map(full)), sum(theirs.map(full)))}`,
    `signal order's own count even where it isolated nothing: ${share(sum(ours.map(full)), sum(theirs.map(({ made }) => made)))}`,
    `the ${both.length} faults both isolated: ${share(sum(both.map((k) => ours[k]!.made)), sum(both.map((k) => theirs[k]!.made)))}`,
  ].join('\n');
}

/** What the diagnosis proposes, first of all. */
export const proposed = ({ next }: Diagnosis): Wanted | undefined => next[0];

/** Points in signal order, each piece of copper once, from the chip to the jack on the side that is worse off; the same tone at each. */
export function inOrder({ world, seen }: Trial): (diagnosis: Diagnosis, step: number) => Wanted | undefined {
  const loud = (k: number) => Math.max(...[0, 1].map((c) => Math.hypot(seen[c]![k]!.re, seen[c]![k]!.im)));
  const side = loud(0) <= loud(1) ? 'L' : 'R';
  const points = [side === 'L' ? 'U1.3' : 'U1.4'];
  for (const { ref, nets } of world.pieces)
    if (nets.every((net) => net.endsWith(side) && net.length === 2)) points.push(`${ref}.2`);
  points.push(side === 'L' ? 'J1.tip' : 'J1.ring');
  const stimulus = `{tone: 997 Hz, side: ${side === 'L' ? 'left' : 'right'}}`;
  return (_, step) =>
    points[step] === undefined ? undefined : { probe: [points[step]], stimulus, instrument: 'recorder' };
}

/** Faults on the way of the signal, where several places look alike from the jack. */
export function onTheWay(fault: Fault, { pieces }: World): boolean {
  if (/^(side-dead|open J1\.(tip|ring))/.test(nameOfFault(fault))) return true;
  const piece = pieces.find(({ ref }) => fault.at.length === 1 && fault.at[0] === ref);
  return piece?.nets.every((net) => /^[OABJ][LR]$/.test(net)) === true;
}

/** A fault that the first captures show but do not place. */
export const unplaced = (one: Trial): boolean =>
  one.diagnosis.causes[0]!.cause !== 'as-designed' && !isolated(one.diagnosis, one.fault);
