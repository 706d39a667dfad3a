import type { Element } from '../../circuit/netlist';
import { formatQuantity } from '../../quantity/format';
import { nearest } from '../../quantity/series';
import type { Bench } from './bench';
import { Context } from './context';
import { drivenBy, summed } from './sources';
import type { Effect } from './types';

/** Hz of the test tone, and the lowest a corner is wanted at. Common practice, no source. */
const toneHertz = 997;
export const lowest = 20;

const magnitude = ({ re, im }: { re: number; im: number }): number => Math.hypot(re, im);
export const inDecibels = (ratio: number): string => `${(20 * Math.log10(ratio)).toFixed(1)} dB`;
export const ohmsText = (ohms: number): string => formatQuantity(Number(ohms.toPrecision(3)), 'Ω');
export const voltsText = (volts: number): string => formatQuantity(Number(volts.toPrecision(2)), 'V');

/** Contacts that a load hangs on, by their side, with the load's Ω: where what is mended is heard. */
export function heardAt({ copper, elements, joints }: Bench) {
  return joints.flatMap(({ element, points, kind }) => {
    const point = points[0]!;
    const part = copper.parts.get(point.split('.')[0]!);
    const side = part?.duty(point.slice(point.indexOf('.') + 1));
    const load = elements.find((one) => one.name === `load at ${point}`);
    const ohms = load?.kind === 'load' ? load.ohms : null;
    return kind === 'contact' && (side === 'left' || side === 'right')
      ? [{ point, side, joint: element, load: `load at ${point}`, ohms }]
      : [];
  });
}

/** V RMS at a contact for a full-scale tone on both sides, or on one, under an effect; against the contact's return where it has one. */
export function levelAt(
  bench: Bench,
  point: string,
  effect: Effect,
  { left = 1, right = 1, hertz = toneHertz, extra = [] as readonly Element[] } = {},
): number | undefined {
  const context = new Context(bench, hertz, extra);
  const common = bench.joints.find(
    ({ kind, points }) => kind === 'common' && points[0]!.split('.')[0] === point.split('.')[0],
  );
  const port = context.ports.port(context.node(point), common ? context.node(common.points[0]!) : bench.reference);
  if (port === undefined || bench.board.outputs.some(({ fullScale }) => fullScale === undefined)) return undefined;
  const nodes = summed(context, drivenBy(bench.board.outputs, { left, right }, hertz, effect));
  return magnitude(context.view(effect).across(nodes, port)) / Math.SQRT2;
}

/**
 * The resistor to put in series with a contact so that its level falls to a share: seen at the opened contact, the network is a
 * source behind Z, and the current through R more is Z/(Z + R) of what it was. Given in E24, with what the solved network then has.
 */
export function pad(bench: Bench, contact: ReturnType<typeof heardAt>[number], effect: Effect, share: number) {
  if (!(share > 0) || share >= 1) return undefined;
  const context = new Context(bench, toneHertz);
  const element = bench.elements.find(({ name }) => name === contact.joint);
  if (element?.kind !== 'resistor') return undefined;
  const port = context.ports.port(element.a, element.b);
  if (port === undefined) return undefined;
  const opened = context.view({
    ...effect,
    changes: [...(effect.changes ?? []), { element: contact.joint, becomes: 'open' }],
  });
  const z = magnitude(opened.across(context.ports.column(port), port));
  const ohms = nearest(z * (1 / share - 1), 'E24');
  if (ohms === null) return undefined;
  const now = levelAt(bench, contact.point, effect);
  const fitted = levelAt(bench, contact.point, {
    ...effect,
    changes: [...(effect.changes ?? []), { element: contact.joint, becomes: { ohms } }],
  });
  return now && fitted ? { ohms, now, fitted } : undefined;
}

/** What two equal resistors from both sides to one contact give: solved, with the loads of the sides taken off and one put there. */
export function monoSum(bench: Bench, effect: Effect) {
  const [a, b] = ['left', 'right'].map((side) => heardAt(bench).find((one) => one.side === side));
  const [first] = bench.board.outputs;
  if (!a || !b || !first) return undefined;
  const { minLoad, impedance } = first.pin.spec ?? {};
  // Each side sees the other through both resistors: enough for its least load, and far above its own impedance.
  const ohms = nearest(Math.max(minLoad ?? 0, 20 * (impedance ?? 50)) / 2, 'E24', 'up');
  if (ohms === null) return undefined;
  const load = a.ohms ?? 10e3;
  const extra: Element[] = [
    { kind: 'resistor', name: 'sum left', a: bench.nodeOf(a.point)!, b: 'sum', ohms },
    { kind: 'resistor', name: 'sum right', a: bench.nodeOf(b.point)!, b: 'sum', ohms },
    { kind: 'load', name: 'sum load', a: 'sum', b: bench.reference, ohms: load },
  ];
  const without: Effect = {
    ...effect,
    changes: [...(effect.changes ?? []), ...[a.load, b.load].map((element) => ({ element, becomes: 'open' as const }))],
  };
  const of = (left: number, right: number) => levelAt(bench, 'sum', without, { left, right, extra });
  const [both, one] = [of(1, 1), of(1, 0)];
  return both === undefined || one === undefined ? undefined : { ohms, load, both, one };
}

/** How far one side lies below the other at the contacts when it alone is driven, as a ratio, under an effect. */
export function crosstalk(bench: Bench, effect: Effect): number | undefined {
  const [a, b] = ['left', 'right'].map((side) => heardAt(bench).find((one) => one.side === side));
  if (!a || !b) return undefined;
  const [own, other] = [a, b].map(({ point }) => levelAt(bench, point, effect, { left: 1, right: 0 }));
  return own && other !== undefined ? other / own : undefined;
}

/** Response of a contact at the lowest wanted frequency against the test tone, as a ratio, under an effect. */
export function bass(bench: Bench, point: string, effect: Effect): number | undefined {
  const [low, mid] = [lowest, toneHertz].map((hertz) => levelAt(bench, point, effect, { hertz }));
  return low !== undefined && mid ? low / mid : undefined;
}
