import type { PinRole } from '../../board/pin-roles';
import { type CopperKind, copperKinds } from './seen';

/**
 * What pins show on real boards, by role: where copper leads from them, what a meter and a counter read, whether sound is heard. All
 * of it common practice, no source: weights of experience, of a hundred such pins about how many. How far any of it is trusted, and
 * what is likely before anything is seen, stands in `weights.ts`.
 *
 * Rows beside the roles are for pins whose names say more than their role does. Supplies have several, because on which rail a pin
 * is says more than that it is on one: a lithium cell's voltage is a handful of pins of a library, 3.3 V most of them.
 */
export type Row =
  | PinRole
  | 'core'
  | 'battery'
  | 'usb-power'
  | 'phones'
  | 'speaker'
  | 'microphone'
  | 'crystal-out'
  | 'usb'
  | 'bus'
  | 'port'
  | 'reset';

const rare = 0.05;

/** Where copper leads. What a row does not name gets `rare`, so that nothing is impossible. */
const copperRows: Record<Row, Partial<Record<CopperKind, number>>> = {
  // Straight to ground, or to a sleeve nobody has called ground yet; the odd one met first at its capacitor.
  ground: { ground: 90, common: 4, unsettled: 3, decoupling: 0.2, line: 0.2, nothing: 0.4, pulled: 0.1 },
  // On a named supply, else known only by its capacitor; a supply on ground destroys, so it is a miscount and not a habit.
  supply: { supply: 80, decoupling: 11, unsettled: 4, line: 0.4, nothing: 0.5, pulled: 0.3, control: 0.1 },
  // More often made inside: then its capacitor is all there is.
  core: { supply: 74, decoupling: 17, unsettled: 4, line: 0.4, nothing: 0.5, pulled: 0.2 },
  battery: { supply: 84, decoupling: 7, unsettled: 4, line: 0.4, nothing: 0.5, pulled: 0.3 },
  'usb-power': { supply: 84, decoupling: 7, unsettled: 4, line: 0.4, nothing: 1.5, pulled: 0.5 },
  // A capacitor alone where it feeds only the chip itself, a supply net where it feeds others; a bias output reaches a microphone.
  'supply-out': {
    decoupling: 44,
    supply: 37,
    unsettled: 6,
    line: 3,
    reference: 1.5,
    'audio-in': 1.5,
    nothing: 1.5,
    pulled: 0.5,
    common: 0.3,
  },
  // Through its coupling capacitor, through resistors to a line jack, straight where ground-centred, or to an amplifier.
  'audio-out': {
    'audio-coupled': 43,
    'audio-straight': 16,
    'audio-divided': 14,
    line: 9,
    nothing: 7,
    unsettled: 5,
    common: 0.3,
    decoupling: 0.5,
    pulled: 0.3,
    ground: 0.1,
  },
  // More often straight: ground-centred, or with a driven common.
  phones: {
    'audio-coupled': 36,
    'audio-straight': 30,
    'audio-divided': 11,
    line: 6,
    nothing: 7,
    unsettled: 5,
    common: 1.9,
    decoupling: 0.3,
    pulled: 0.2,
    ground: 0.1,
  },
  // The legs of a bridge go straight to the loudspeaker, or through a filter.
  speaker: { 'audio-straight': 72, 'audio-divided': 5, 'audio-coupled': 5, nothing: 8, unsettled: 6, line: 3 },
  // From a line jack, mostly through a capacitor; an unused one is left open, bypassed or grounded.
  'audio-in': {
    'audio-coupled': 40,
    'audio-in': 19,
    'audio-divided': 7,
    'audio-straight': 1.1,
    line: 8,
    nothing: 11,
    decoupling: 4,
    ground: 4,
    unsettled: 5,
    reference: 0.1,
  },
  // A quiet voltage: its capacitor and nothing else.
  reference: {
    decoupling: 74,
    reference: 9,
    unsettled: 5,
    supply: 1.5,
    'audio-divided': 0.5,
    line: 0.6,
    nothing: 1.5,
    pulled: 1.1,
    ground: 0.4,
    common: 0.3,
  },
  // The crystal or its load capacitors; a clock from or to another chip.
  clock: { clock: 82, line: 8, nothing: 3, data: 0.3, unsettled: 4, ground: 1 },
  // Its other end: open where the clock comes from elsewhere.
  'crystal-out': { clock: 85, nothing: 7.5, unsettled: 4, line: 0.5, ground: 0.1 },
  // Antenna, directly or through its matching; a feed line not followed to its end.
  antenna: { antenna: 80, line: 6, unsettled: 5, nothing: 5, decoupling: 0.5, clock: 0.1 },
  // A line nobody can name more closely: to other chips, connectors, lamps, buttons, pull resistors; straps; many left open.
  data: {
    line: 31,
    data: 20,
    nothing: 18,
    pulled: 8,
    led: 5,
    control: 6,
    unsettled: 6,
    ground: 1.9,
    supply: 0.6,
    clock: 0.1,
    'audio-divided': 0.2,
    decoupling: 0.1,
  },
  // The connector of the bus it is named after.
  usb: { data: 84, line: 4, nothing: 7, unsettled: 4, pulled: 0.2 },
  // Serial and sound buses run to other chips and headers, with pull-ups.
  bus: { line: 45, data: 26, nothing: 11, pulled: 7, unsettled: 6, ground: 1.1, control: 1.1 },
  // General ports take what the board needs: lamps, keys, straps; many stay free.
  port: {
    nothing: 26,
    line: 22,
    control: 13,
    led: 11,
    pulled: 9,
    data: 7,
    unsettled: 6,
    ground: 1.9,
    supply: 0.5,
    'audio-divided': 0.2,
    'audio-in': 0.1,
  },
  // From a microphone, or a headset's contact; open or bypassed where unused.
  microphone: {
    'audio-in': 62,
    nothing: 14,
    decoupling: 6,
    'audio-coupled': 4,
    ground: 4,
    line: 3,
    unsettled: 5,
    reference: 0.3,
  },
  // Pulled up, with a capacitor or a button; driven by another chip.
  reset: { pulled: 42, control: 20, decoupling: 9, line: 11, supply: 6, nothing: 4, unsettled: 5, data: 0.2 },
  // Strapped, pulled, or driven by another chip.
  control: { pulled: 26, supply: 20, control: 15, line: 14, ground: 11, nothing: 5, unsettled: 5, data: 0.3, led: 0.2 },
  // A shell is at ground, directly or through parts.
  chassis: { ground: 78, common: 8, unsettled: 5, pulled: 3, decoupling: 3, nothing: 1.5 },
  mains: { line: 40, unsettled: 30, nothing: 5 },
  // Nothing; or the copper around it for want of anything better, which is mostly ground.
  'not-connected': { nothing: 82, ground: 10, line: 1.9, supply: 0.5, unsettled: 0.3, data: 0.1 },
  'do-not-connect': { nothing: 84, ground: 6, line: 1.5, supply: 0.3, pulled: 0.5, unsettled: 1.1 },
  // A pad for the factory: open, or tied down.
  test: { nothing: 60, ground: 15, pulled: 9, line: 5, supply: 3, unsettled: 3, data: 0.5 },
};

/** How many of a hundred pins of any chip have each role: what a pin is when nothing is known of its chip. */
export const mix: Record<Row, number> = {
  ground: 13,
  supply: 8.5,
  core: 1.8,
  battery: 1.5,
  'usb-power': 1.2,
  'supply-out': 4,
  'audio-out': 5.5,
  phones: 3,
  speaker: 2,
  'audio-in': 3.5,
  microphone: 3,
  reference: 4,
  clock: 4,
  'crystal-out': 2.5,
  antenna: 1.5,
  data: 3,
  bus: 7,
  port: 8,
  usb: 3,
  control: 6,
  reset: 3,
  chassis: 0.5,
  mains: 0.2,
  'not-connected': 7,
  'do-not-connect': 1.8,
  test: 2,
};

/**
 * Bounds of what a meter shows, in volts: below ground; ground, between two traces of it; core rails and oscillators; half of 3.3 V;
 * 1.8 V; half of 5 V; 3.3 V; a lithium cell; 5 V; more. Widths make densities.
 */
export const dcEdges = [-15, -0.15, -0.04, 0.04, 0.15, 0.6, 1.4, 1.75, 2.2, 2.8, 3.6, 4.35, 5.6, 30] as const;
/** Of a hundred such pins on a board that runs: DC within each of those bounds. Common practice, no source. */
const dcRows: Record<Row, readonly number[]> = {
  ground: [0.3, 1, 94, 3, 0.4, 0.2, 0.1, 0.2, 0.1, 0.3, 0.1, 0.2, 0.1],
  // A dead or negative one now and then.
  supply: [1, 0.2, 2.2, 0.6, 0.4, 4, 1.2, 14, 4, 56, 3, 8, 5.4],
  core: [0.1, 0.1, 2, 0.3, 0.3, 44, 8, 38, 2, 4, 0.4, 0.4, 0.4],
  // A lithium cell from empty to full; regulated, or fed from a charger.
  battery: [0.1, 0.1, 2, 0.5, 0.4, 1.5, 1.5, 0.5, 2, 16, 68, 6, 1.4],
  'usb-power': [0.1, 0.1, 5, 0.5, 0.4, 0.2, 0.2, 0.3, 0.3, 1.5, 2.4, 88, 1],
  'supply-out': [8, 0.2, 2.2, 0.6, 0.6, 15, 4, 22, 6, 30, 2, 6, 4],
  // Half the supply, or nothing where ground-centred or asleep; hardly ever in between.
  'audio-out': [0.4, 1.5, 21, 3.5, 0.7, 9, 42, 6, 12, 1, 0.4, 0.4, 2],
  phones: [0.4, 1.5, 26.5, 4, 0.7, 8, 38, 6, 11, 1, 0.4, 0.4, 2],
  speaker: [0.4, 1, 11, 3, 1, 5, 36, 12, 21, 3, 0.4, 1, 5],
  'audio-in': [0.4, 1.5, 17, 3.5, 1.2, 14, 42, 7, 11, 1, 0.4, 0.4, 0.5],
  microphone: [0.4, 1.5, 17, 4.5, 1.2, 13, 40, 9, 11, 1, 0.4, 0.4, 0.5],
  reference: [0.4, 0.2, 2.3, 0.5, 0.6, 11, 56, 7, 16, 2, 0.7, 0.8, 2.5],
  // A running oscillator averages out at about half its swing.
  clock: [0.4, 0.5, 4, 3.5, 12, 40, 22, 8, 5, 3, 0.4, 0.4, 0.4],
  'crystal-out': [0.4, 0.5, 4, 3.5, 12, 40, 22, 8, 5, 3, 0.4, 0.4, 0.4],
  antenna: [0.4, 2, 80, 4, 5, 4, 1.5, 1, 0.4, 0.4, 0.4, 0.4, 0.4],
  // Low, high by the supply of whatever drives it, or going back and forth.
  data: [0.4, 1, 29, 7, 5, 6, 3, 7, 2, 34, 1, 4, 0.5],
  usb: [0.4, 2, 38, 10, 10, 3, 0.7, 0.7, 1.5, 30, 0.7, 0.7, 0.4],
  bus: [0.4, 1, 25, 6, 4, 6, 3.5, 8, 2.5, 38, 1, 4, 0.5],
  port: [0.4, 1, 33, 7, 4, 5, 2.5, 7, 2, 34, 1, 3, 0.5],
  control: [0.4, 1, 31, 5, 1, 1, 0.6, 7, 2, 38, 6, 6, 1.5],
  reset: [0.4, 0.3, 7, 1.7, 1, 0.8, 0.5, 10, 3, 62, 4, 8, 1.5],
  chassis: [0.4, 2, 90, 4, 2, 0.3, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2],
  mains: [20, 2, 6, 2, 5, 5, 5, 5, 5, 5, 5, 5, 30],
  // What a floating pin and a meter of 10 MΩ make of each other.
  'not-connected': [1, 5, 38, 12, 17, 10, 4, 4, 2, 3, 1, 1, 1],
  'do-not-connect': [1, 4, 33, 10, 10, 11, 4, 8, 2.5, 11, 1, 3, 0.5],
  test: [0.4, 2, 50, 8, 4, 5, 2.5, 6, 2, 17, 1, 2, 0.5],
};

/** Of a hundred pins on which a counter shows a frequency at all: audio (below 20 kHz), about 32.768 kHz, above 100 kHz, else. */
const clockRows: Record<Row, readonly [number, number, number, number]> = {
  clock: [1, 22, 75, 2],
  data: [12, 3, 75, 10],
  usb: [20, 1, 70, 9],
  bus: [8, 1, 82, 9],
  port: [30, 4, 55, 11],
  microphone: [88, 1, 6, 5],
  reset: [50, 2, 38, 10],
  'crystal-out': [1, 22, 75, 2],
  'audio-out': [80, 1, 13, 6],
  phones: [85, 1, 8, 6],
  speaker: [55, 1, 39, 5],
  'audio-in': [85, 1, 8, 6],
  // The ripple of a converter, or hum.
  'supply-out': [15, 1, 65, 19],
  supply: [35, 1, 50, 14],
  core: [35, 1, 50, 14],
  battery: [35, 1, 50, 14],
  'usb-power': [35, 1, 50, 14],
  ground: [50, 2, 30, 18],
  reference: [60, 2, 25, 13],
  antenna: [5, 1, 92, 2],
  control: [50, 2, 38, 10],
  chassis: [60, 2, 25, 13],
  mains: [96, 1, 2, 1],
  'not-connected': [50, 3, 37, 10],
  'do-not-connect': [40, 5, 45, 10],
  test: [35, 8, 47, 10],
};

/** Of a hundred pins probed while sound played, how many carried it. */
const audioRows: Record<Row, number> = {
  'audio-out': 90,
  phones: 90,
  speaker: 90,
  'audio-in': 55,
  // A bias output or reference shows a trace of it; pulse-width outputs are data pins that carry it whole.
  'supply-out': 4,
  reference: 6,
  data: 6,
  usb: 1,
  bus: 3,
  port: 6,
  microphone: 55,
  reset: 1,
  clock: 2,
  'crystal-out': 2,
  control: 3,
  supply: 4,
  core: 3,
  battery: 4,
  'usb-power': 3,
  ground: 2,
  chassis: 3,
  antenna: 1,
  mains: 2,
  'not-connected': 4,
  'do-not-connect': 4,
  test: 4,
};

export const rows = Object.keys(copperRows) as readonly Row[];

const normalised = (weights: readonly number[]): Float64Array => {
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return Float64Array.from(weights, (weight) => weight / sum);
};

/** Something for every row. */
export const perRow = <T>(make: (row: Row) => T): Record<Row, T> =>
  Object.fromEntries(rows.map((row) => [row, make(row)])) as Record<Row, T>;

/** P(kind of copper | role), columns as `copperKinds`. */
export const copperTable = perRow((row) => normalised(copperKinds.map((kind) => copperRows[row][kind] ?? rare)));

/** Density of DC per volt, by bin. */
export const dcTable = perRow((row) =>
  normalised(dcRows[row]).map((probability, bin) => probability / (dcEdges[bin + 1]! - dcEdges[bin]!)),
);
/** Rows that stand for supplies, by what their names say they carry. */
export const supplyRows: ReadonlySet<Row> = new Set(['supply', 'core', 'battery', 'usb-power', 'supply-out']);
/** The row of `dcTable` that a supply reads by, where a pin of a role is joined to one: its own, or any that a pin is strapped to. */
export const railOf = (row: Row): Row => (supplyRows.has(row) ? row : 'supply');
/** P(DC of a pin of a role lies between two voltages). */
export function dcBetween(row: Row, low: number, high: number): number {
  let sum = 0;
  for (let bin = 0; bin < dcEdges.length - 1; bin++) {
    const width = Math.min(high, dcEdges[bin + 1]!) - Math.max(low, dcEdges[bin]!);
    if (width > 0) sum += width * dcTable[row][bin]!;
  }
  return sum;
}
/** The column of `dcTable` that a voltage falls in. */
export function dcBin(volts: number): number {
  let bin = 0;
  while (bin < dcEdges.length - 2 && volts >= dcEdges[bin + 1]!) bin++;
  return bin;
}

/** P(kind of frequency | role): columns as `clockBin`. */
export const clockTable = perRow((row) => normalised(clockRows[row]));
export const clockBin = (hertz: number): number =>
  hertz < 20e3 ? 0 : Math.abs(hertz / 32768 - 1) < 0.02 ? 1 : hertz > 100e3 ? 2 : 3;

/** P(sound absent, sound present | role). */
export const audioTable = perRow((row) => normalised([100 - audioRows[row], audioRows[row]]));

/** P(side of the contact reached | the pin's channel): wired as named, but crossed and summed boards exist. */
export const sideTable: Readonly<
  Record<'left' | 'right' | 'mono', Readonly<Record<'left' | 'right' | 'mono', number>>>
> = {
  left: { left: 0.84, right: 0.06, mono: 0.1 },
  right: { left: 0.06, right: 0.84, mono: 0.1 },
  mono: { left: 0.25, right: 0.15, mono: 0.6 },
};
/** The same for a pin of which no channel is known. */
export const anySide = { left: 0.42, right: 0.42, mono: 0.16 } as const;
