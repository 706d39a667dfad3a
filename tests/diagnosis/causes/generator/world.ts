import { uniform } from '../../../signal/make';

/** A made-up board, known through and through: its parts between nets, what a benchmark may break, and its text. */
export interface Piece {
  readonly ref: string;
  readonly kind: 'R' | 'C' | 'FB';
  readonly value: number;
  readonly nets: readonly [string, string];
}

export interface World {
  readonly family: Family;
  readonly pieces: readonly Piece[];
  /** Ω of the outputs and of what is plugged in. */
  readonly outOhms: number;
  readonly load: number;
  /** V RMS of a 0 dBFS sine. */
  readonly full: number;
  readonly text: string;
  readonly pinout: string;
}

export type Family = 'line' | 'phones' | 'direct' | 'filter' | 'ferrite' | 'ladder';
/** Families the priors and floors were looked at with; the others are for the report. */
export const tuned: readonly Family[] = ['line', 'phones', 'direct', 'filter'];
export const unseen: readonly Family[] = ['ferrite', 'ladder'];

export class Draw {
  private readonly next: () => number;
  constructor(seed: number) {
    this.next = uniform(seed);
  }
  number(from = 0, to = 1): number {
    return from + (to - from) * this.next();
  }
  log(from: number, to: number): number {
    return from * (to / from) ** this.next();
  }
  of<T>(list: readonly T[]): T {
    return list[Math.min(list.length - 1, Math.floor(this.next() * list.length))]!;
  }
  gauss(): number {
    return Math.sqrt(-2 * Math.log(1 - this.next())) * Math.cos(2 * Math.PI * this.next());
  }
}

const signal = [
  'tone: 997 Hz, side: left',
  'tone: 997 Hz, side: right',
  'tone: 997 Hz, side: both',
  'tone: 40 Hz, side: both',
];
export const captures = [
  { name: 'left', hertz: 997, left: 1, right: 0 },
  { name: 'right', hertz: 997, left: 0, right: 1 },
  { name: 'both', hertz: 997, left: 1, right: 1 },
  { name: 'low', hertz: 40, left: 1, right: 1 },
] as const;
/** dBFS of the stimuli. */
export const level = -12;

/** Draws a board of a family, with about `size` parts. */
export function drawWorld(seed: number, families: readonly Family[], size?: number): World {
  const draw = new Draw(seed);
  const family = draw.of(families);
  const wanted = size ?? Math.round(draw.log(10, 60));
  const pieces: Piece[] = [];
  const counts = { R: 0, C: 0, FB: 0 };
  const add = (kind: Piece['kind'], value: number, a: string, b: string) =>
    pieces.push({ ref: `${kind}${++counts[kind]}`, kind, value, nets: [a, b] });
  const pick = {
    line: {
      c: draw.of([4.7e-6, 1e-5, 2.2e-5]),
      r: draw.of([100, 220, 470]),
      shunt: draw.of([1e4, 4.7e4]),
      load: draw.of([1e4, 2.2e4]),
    },
    phones: { c: draw.of([1e-4, 2.2e-4, 4.7e-4]), r: draw.of([10, 22, 33]), shunt: draw.of([470, 1000]), load: 32 },
    direct: { c: draw.of([1e-9, 4.7e-9]), r: draw.of([10, 22, 47]), shunt: 0, load: draw.of([32, 600]) },
    filter: { c: draw.of([2.2e-6, 1e-5]), r: draw.of([470, 1000]), shunt: 2.2e4, load: 1e4 },
    ferrite: { c: draw.of([4.7e-5, 1e-4]), r: draw.of([22, 47, 100]), shunt: 1e4, load: draw.of([600, 1e4]) },
    ladder: { c: draw.of([1e-6, 2.2e-6]), r: draw.of([1000, 2200]), shunt: draw.of([1e4, 2.2e4]), load: 4.7e4 },
  }[family];
  for (const side of ['L', 'R']) {
    const out = `O${side}`;
    const jack = `J${side}`;
    if (family === 'line' || family === 'phones') {
      add('C', pick.c, out, `A${side}`);
      add('R', pick.r, `A${side}`, jack);
      add('R', pick.shunt, family === 'line' ? jack : `A${side}`, 'GND');
    } else if (family === 'direct') {
      add('R', pick.r, out, jack);
      add('C', pick.c, jack, 'GND');
    } else if (family === 'filter') {
      add('R', pick.r, out, `A${side}`);
      add('C', 3.3e-9, `A${side}`, 'GND');
      add('C', pick.c, `A${side}`, `B${side}`);
      add('R', pick.shunt, `B${side}`, 'GND');
      add('R', 100, `B${side}`, jack);
    } else if (family === 'ferrite') {
      add('R', pick.r, out, `A${side}`);
      add('C', pick.c, `A${side}`, `B${side}`);
      add('R', pick.shunt, `B${side}`, 'GND');
      add('FB', 0, `B${side}`, jack);
      add('C', 1e-9, jack, 'GND');
    } else {
      add('R', pick.r, out, `A${side}`);
      add('R', pick.shunt, `A${side}`, 'GND');
      add('C', pick.c, `A${side}`, `B${side}`);
      add('R', 470, `B${side}`, jack);
      add('R', 1e5, jack, 'GND');
    }
  }
  let pin = 6;
  while (pieces.length < wanted - 2) {
    const which = draw.number();
    if (which < 0.5) add('C', draw.of([1e-7, 1e-6, 1e-5]), 'VSYS', 'GND');
    else if (which < 0.85 && pin <= 20) add('R', draw.of([1e4, 4.7e3, 1e5]), draw.of(['VSYS', 'GND']), `P${pin++}`);
    else {
      const node = `N${pieces.length}`;
      add('R', 1000, 'VSYS', node);
      add('C', 1e-8, node, 'GND');
    }
  }
  const outOhms = draw.of([1, 10, 33]);
  const full = draw.of([0.5, 0.9, 1]);
  const made = { family, pieces, outOhms, load: pick.load, full };
  return { ...made, text: textOf(made), pinout: pinoutOf(made) };
}

/** Chip pins by net. */
export const chipPins: Readonly<Record<string, string>> = { VSYS: '1', GND: '2', OL: '3', OR: '4' };
export const contacts: Readonly<Record<string, string>> = { JL: 'J1.tip', JR: 'J1.ring', GND: 'J1.sleeve' };

function textOf({ pieces, load }: Omit<World, 'text' | 'pinout'>): string {
  const nets = new Map<string, string[]>();
  const on = (net: string, point: string) => nets.set(net, [...(nets.get(net) ?? []), point]);
  for (const [net, pin] of Object.entries(chipPins)) on(net, `U1.${pin}`);
  for (const [net, contact] of Object.entries(contacts)) on(net, contact);
  for (const { ref, nets: ends } of pieces) for (const [k, net] of ends.entries()) on(net, `${ref}.${k + 1}`);
  for (const net of [...nets.keys()]) if (/^P\d+$/.test(net)) on(net, `U1.${net.slice(1)}`);
  const named = new Set(['VSYS', 'GND']);
  return `board: Made-up board
parts:
  U1: {pinout: maker-one}
  J1: {style: jack-trs, load: ${load}}
${pieces.map(({ ref, kind, value }) => `  ${ref}: ${kind === 'R' ? `${value} ohm` : kind === 'C' ? `${value * 1e9} nF` : '600 ohm'}`).join('\n')}
traces:
  buzzed:
${[...nets].map(([net, points]) => `    - ${points.join(' ')}${named.has(net) ? ` ${net}` : ''}`).join('\n')}
nets:
  GND: {role: ground}
  VSYS: {role: supply, volts: 3.3 V}
readings:
  - VSYS: READING
captures:
${captures.map(({ name }, k) => `  ${name}: {file: ${name}.wav, stimulus: {${signal[k]}, level: ${level} dBFS}, channels: {1: J1.tip, 2: J1.ring, 3: J1.sleeve}, ground-lead: GND, full-scale: 2 V}`).join('\n')}
`;
}

const pinoutOf = ({ outOhms, full }: Omit<World, 'text' | 'pinout'>): string => `pinout: maker-one
pins:
  1: {name: VDD, role: supply, volts: [3.0 V, 3.6 V]}
  2: {name: VSS, role: ground}
  3: {name: OUTL, role: audio-out, channel: left, return: 2, bias: 1.65 V, full-scale: ${full} V, impedance: ${outOhms}}
  4: {name: OUTR, role: audio-out, channel: right, return: 2, bias: 1.65 V, full-scale: ${full} V, impedance: ${outOhms}}
  5: {name: MUTE, role: control}
${Array.from({ length: 15 }, (_, k) => `  ${k + 6}: {name: GPIO${k}, role: data}`).join('\n')}
modes:
  stereo:       {OUTL: {left: 1},                  OUTR: {right: 1}}
  differential: {OUTL: {left: 0.5, right: 0.5},    OUTR: {left: -0.5, right: -0.5}}
  mono:         {OUTL: {left: 0.5, right: 0.5},    OUTR: {left: 0.5, right: 0.5}}
`;
