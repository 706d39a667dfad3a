import { network } from '../../../../server/src/circuit/ac';
import type { Netlist } from '../../../../server/src/circuit/netlist';
import type { RecordingFigures } from '../../../../server/src/signal/figures';
import type { Broken } from './faults';
import { channel, drive, netlistOf, noise, type Specimen } from './simulate';
import { chipPins, contacts, type Draw, level, type World } from './world';

/** A measurement beyond the first four captures: what is written on the board for it, and its figures where it is a recording. */
export interface More {
  readonly reading?: string;
  readonly capture?: { readonly name: string; readonly text: string; readonly figures: RecordingFigures };
}

/** What a probe asks for, in the words of a diagnosis. */
export interface Wanted {
  readonly probe: readonly string[];
  readonly stimulus: string | null;
  readonly instrument: 'recorder' | 'volts' | 'ohms';
}

/** The node of the generator's network under a point of the board. */
function nodeOf(world: World, point: string): string {
  const contact = { 'J1.tip': 'tip', 'J1.ring': 'ring', 'J1.sleeve': 'sleeve' }[point];
  if (contact !== undefined) return contact;
  const net =
    [...Object.entries(chipPins).map(([name, pin]) => [name, `U1.${pin}`] as const), ...Object.entries(contacts)].find(
      ([, at]) => at === point,
    )?.[0] ??
    world.pieces
      .flatMap(({ ref, nets }) => nets.map((name, k) => [`${ref}.${k + 1}`, name] as const))
      .find(([at]) => at === point)?.[1] ??
    point;
  return net === 'GND' ? '0' : net;
}

/** Measures it on a specimen with its fault, with the noise of the bench. */
export function measureMore(
  world: World,
  specimen: Specimen,
  broken: Broken,
  { probe, stimulus, instrument }: Wanted,
  name: string,
  draw: Draw,
): More {
  const netlist = netlistOf(world, specimen, broken);
  const nodes = probe.map((point) => nodeOf(world, point));
  if (instrument === 'ohms') {
    // Without power and with nothing plugged in: sources and loads are away.
    const passive: Netlist = {
      ...netlist,
      elements: netlist.elements.filter((one) => !/^(V[LR]|RO[LR]|L[LR])$/.test(one.name)),
    };
    const [a, b] = [nodes[0]!, nodes[1] ?? '0'];
    const known = new Set(passive.elements.flatMap((one) => ('a' in one ? [one.a, one.b] : [])));
    const ohms =
      !known.has(a) || !known.has(b) ? Infinity : (network(passive).at(0).inject(b, a).between(a, b)?.re ?? Infinity);
    const shown = ohms * (1 + noise.reading * draw.gauss());
    const value = shown > 2e7 ? 'OL' : `${Math.max(shown, 0.05).toPrecision(4)} ohm`;
    return {
      reading: `  - {between: [${probe.join(', ')}${probe.length < 2 ? ', GND' : ''}], ohms: ${value}, zeroed: yes}`,
    };
  }
  if (instrument === 'volts') {
    const bias = broken.unpowered ? 0 : 1.65;
    const volts =
      nodes[0] === 'VSYS'
        ? 2 * bias
        : (network(netlist).at(0).solve({ VL: bias, VR: bias }).voltage(nodes[0]!)?.re ?? 0);
    return { reading: `  - ${probe[0]}: ${(volts * (1 + noise.reading * draw.gauss())).toFixed(3)} V` };
  }
  const [, tone, side] = /tone: (\d+) Hz, side: (\w+)/.exec(stimulus!)!;
  const hertz = Number(tone);
  const [left, right] = { left: [1, 0], right: [0, 1], both: [1, 1], opposed: [1, -1] }[side as 'left']!;
  const played = { name: 'left', hertz, left, right } as unknown as Parameters<typeof drive>[3];
  const [l, r] = drive(world, specimen, broken, played);
  const solution = network(netlist).at(hertz).solve({ VL: l, VR: r });
  const ground = probe.join() === 'J1.tip,J1.ring' ? 'J1.sleeve' : 'GND';
  const start = draw.number(0, 360);
  const volts = nodes.map((node) => solution.between(node, ground === 'GND' ? '0' : 'sleeve') ?? { re: 0, im: 0 });
  const most = Math.max(...volts.map(({ re, im }) => Math.hypot(re, im)));
  const seen = volts.map(({ re, im }) => {
    const size = specimen.scale * Math.hypot(re, im) * (1 + noise.along * draw.gauss());
    const angle = Math.atan2(im, re) + (start * Math.PI) / 180 + noise.across * draw.gauss();
    const floor = Math.hypot(noise.floor, noise.crosstalk * most);
    return { re: size * Math.cos(angle) + floor * draw.gauss(), im: size * Math.sin(angle) + floor * draw.gauss() };
  });
  const channels = probe.map((point, k) => `${k + 1}: ${point}`).join(', ');
  return {
    capture: {
      name,
      text: `  ${name}: {file: ${name}.wav, stimulus: {tone: ${tone} Hz, side: ${side}, level: ${level} dBFS}, channels: {${channels}}, ground-lead: ${ground}, full-scale: 2 V}`,
      figures: {
        channels: seen.map((value, k) => channel(`${k + 1}`, hertz, value)),
        pairs: [],
        sequence: null,
      } as unknown as RecordingFigures,
    },
  };
}
