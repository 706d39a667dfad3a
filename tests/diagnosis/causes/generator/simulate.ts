import { network } from '../../../../server/src/circuit/ac';
import type { Complex } from '../../../../server/src/circuit/complex';
import type { Element, Netlist } from '../../../../server/src/circuit/netlist';
import type { ChannelFigures, RecordingFigures } from '../../../../server/src/signal/figures';
import type { Broken } from './faults';
import { captures, type Draw, level, type World } from './world';

/** What is not known of one specimen of a board: each part's own value, the chip's own level. Factors. */
export interface Specimen {
  readonly parts: Readonly<Record<string, number>>;
  readonly out: readonly [number, number];
  readonly scale: number;
}

export const nominal: Specimen = { parts: {}, out: [1, 1], scale: 1 };

/** R within 5 %, C within 20 %, the chip within ±1 dB and ±0.3 dB between its sides, the recorder's scale within ±0.3 dB: all evenly. */
export function drawSpecimen(world: World, draw: Draw): Specimen {
  const db = (within: number) => 10 ** (draw.number(-within, within) / 20);
  const common = db(1);
  return {
    parts: Object.fromEntries(
      world.pieces.map(({ ref, kind }) => [
        ref,
        1 + draw.number(-1, 1) * (kind === 'R' ? 0.05 : kind === 'C' ? 0.2 : 0),
      ]),
    ),
    out: [common * db(0.15), common * db(0.15)],
    scale: db(0.3),
  };
}

/** The network of a specimen with its fault, by the generator's own hand. */
export function netlistOf(world: World, specimen: Specimen, broken: Broken): Netlist {
  const elements: Element[] = [];
  const resistor = (name: string, a: string, b: string, ohms: number) =>
    Number.isFinite(ohms) && elements.push({ kind: 'resistor', name, a, b, ohms });
  for (const side of ['L', 'R'] as const) {
    elements.push({ kind: 'voltage', name: `V${side}`, a: `E${side}`, b: '0', ac: 0 });
    resistor(`RO${side}`, `E${side}`, `O${side}`, world.outOhms);
  }
  const net = (name: string) => (name === 'GND' ? '0' : name);
  for (const { ref, kind, value, nets } of world.pieces) {
    const wrong = broken.pieces?.[ref];
    if (wrong === 'open') continue;
    const [a, b] = nets.map(net) as [string, string];
    const own = (typeof wrong === 'object' ? wrong.value : value) * (specimen.parts[ref] ?? 1);
    if (wrong === 'short' || kind === 'FB') resistor(ref, a, b, 1e-3);
    else if (kind === 'R') resistor(ref, a, b, own);
    else {
      const esr = typeof wrong === 'object' ? wrong.esr : undefined;
      elements.push({ kind: 'capacitor', name: ref, a, b, farads: own, ...(esr !== undefined && { esr }) });
    }
  }
  const joint = broken.joints ?? {};
  resistor('TL', 'JL', 'tip', joint.JL ?? 1e-3);
  resistor('TR', 'JR', 'ring', joint.JR ?? 1e-3);
  resistor('TS', 'sleeve', '0', joint.GND ?? 1e-3);
  resistor('LL', 'tip', 'sleeve', world.load);
  resistor('LR', 'ring', 'sleeve', world.load);
  if (broken.between) resistor('X', net(broken.between.nets[0]), net(broken.between.nets[1]), broken.between.ohms);
  for (const node of new Set(elements.flatMap((element) => ('a' in element ? [element.a, element.b] : []))))
    if (node !== '0') resistor(`I${node}`, node, '0', 1e9);
  return { reference: '0', elements };
}

/** Peak volts of the two sources in a capture. */
export function drive(
  world: World,
  specimen: Specimen,
  broken: Broken,
  capture: (typeof captures)[number],
): [number, number] {
  const peak = broken.unpowered ? 0 : world.full * Math.SQRT2 * 10 ** (level / 20);
  const [l, r] = broken.weights ?? [
    [1, 0],
    [0, 1],
  ];
  const of = ([a, b]: readonly [number, number]) => a * capture.left + b * capture.right;
  return [peak * specimen.out[0] * of(l), peak * specimen.out[1] * of(r)];
}

export type Seen = readonly (readonly Complex[])[];
const probes = ['tip', 'ring', 'sleeve'];

/** Phasors at tip, ring and sleeve in each capture, without noise. */
export function simulate(world: World, specimen: Specimen, broken: Broken): Seen {
  const net = network(netlistOf(world, specimen, broken));
  return captures.map((capture) => {
    const [l, r] = drive(world, specimen, broken, capture);
    const solution = net.at(capture.hertz).solve({ VL: l, VR: r });
    return probes.map((node) => {
      const { re, im } = solution.voltage(node) ?? { re: 0, im: 0 };
      return { re: re * specimen.scale, im: im * specimen.scale };
    });
  });
}

/** 0.3 dB and 2° of every figure, a floor in V, what channels pick up from the loudest (−68 dB), and 1 % of every reading. */
export const noise = { along: 0.0345, across: 0.0349, floor: 2e-5, crosstalk: 4e-4, reading: 0.01 };

/** What was simulated, as a bench would have measured it. */
export function withNoise(seen: Seen, draw: Draw): Seen {
  return seen.map((channels) => {
    const start = draw.number(0, 2 * Math.PI);
    const floor = Math.hypot(
      noise.floor,
      noise.crosstalk * Math.max(...channels.map(({ re, im }) => Math.hypot(re, im))),
    );
    return channels.map(({ re, im }) => {
      const factor = 1 + noise.along * draw.gauss();
      const angle = start + noise.across * draw.gauss();
      return {
        re: factor * (re * Math.cos(angle) - im * Math.sin(angle)) + floor * draw.gauss(),
        im: factor * (re * Math.sin(angle) + im * Math.cos(angle)) + floor * draw.gauss(),
      };
    });
  });
}

/** As the figures of recordings: the uncertainty that of the noise. */
export function figuresOf(seen: Seen): Map<string, RecordingFigures> {
  return new Map(
    captures.map(({ name, hertz }, c) => [
      name,
      {
        channels: seen[c]!.map((value, k) => channel(`${k + 1}`, hertz, value)),
        pairs: [],
        sequence: null,
      } as unknown as RecordingFigures,
    ]),
  );
}

export function channel(name: string, frequency: number, { re, im }: Complex): ChannelFigures {
  const amplitude = Math.hypot(re, im);
  const heard = amplitude > 5 * noise.floor;
  return {
    name,
    unit: 'V',
    rms: Math.hypot(amplitude / Math.SQRT2, noise.floor),
    tone: heard
      ? {
          frequency,
          amplitude,
          phase: (Math.atan2(im, re) * 180) / Math.PI,
          residual: noise.floor,
          free: true,
          sd: {
            frequency: 0,
            amplitude: Math.hypot(noise.along * amplitude, noise.floor),
            phase: (Math.hypot(noise.across, noise.floor / amplitude) * 180) / Math.PI,
          },
        }
      : null,
  } as unknown as ChannelFigures;
}
