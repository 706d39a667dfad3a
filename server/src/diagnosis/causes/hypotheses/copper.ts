import type { PinOnNode } from '../../../board/copper';
import { formatQuantity } from '../../../quantity/format';
import type { Bench } from '../bench';
import { Context } from '../context';
import { assumedFactor, odds } from '../priors';
import type { Bridge, Effect, Hypothesis, Variant } from '../types';
import { pulledDown, starved } from './rails';

/** Faults of joints, contacts and of copper that should not touch. */
/** `rest`: the bench at DC. */
export function copperHypotheses(bench: Bench, rest: Context): Hypothesis[] {
  return [...joints(bench, rest), ...neighbours(bench, rest), ...betweenSides(bench)];
}

/** Ω that a return is left with; log-even. */
const returns = [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 25];

function joints({ joints: all, copper }: Bench, rest: Context): Hypothesis[] {
  return all.flatMap(({ element, points, kind, join }): Hypothesis[] => {
    const parted: Effect = { changes: [{ element, becomes: 'open' }] };
    const open: Variant[] = [{ weight: 1, effect: { ...parted, ...starved(rest, parted) } }];
    const proven = join?.evidence === 'assumed' || points.some((point) => restsOnAssumed(copper, point));
    const doubt = proven ? assumedFactor : 1;
    if (kind !== 'common') {
      const prior = (kind === 'contact' ? odds['open-contact'] : odds.open) * doubt;
      return [{ cause: 'open', at: points, mode: null, prior, variants: open }];
    }
    return [
      { cause: 'return-open', at: points, mode: null, prior: odds['return-open'] * doubt, variants: open },
      {
        cause: 'common-return',
        at: points,
        mode: null,
        prior: odds['common-return'],
        variants: returns.map((ohms) => ({
          weight: 1 / returns.length,
          effect: { changes: [{ element, becomes: { ohms }, spread: 0.3 }] },
          text: `about ${ohms} Ω`,
        })),
      },
    ];
  });
}

function restsOnAssumed(copper: Bench['copper'], point: string): boolean {
  const node = copper.node(point);
  const anchor = node?.nets[0]?.name ?? node?.points.find((other) => other !== point);
  return anchor !== undefined && copper.proof(anchor, point)?.weakest === 'assumed';
}

/** Pins side by side, on chips by number, on connectors in the order of their contacts. */
function neighbours(bench: Bench, rest: Context): Hypothesis[] {
  const { copper, nodeOf } = bench;
  const found = new Map<string, Hypothesis>();
  for (const part of copper.parts.values()) {
    if (!part.fitted) continue;
    const pins =
      part.kind === 'connector'
        ? part.contacts
        : part.pinout
          ? [...part.pinout.pins.keys()].filter((key) => /^\d+$/.test(key)).sort((a, b) => Number(a) - Number(b))
          : [];
    for (let k = 1; k < pins.length; k++) {
      const [a, b] = [pins[k - 1]!, pins[k]!];
      if (part.kind !== 'connector' && Number(b) !== Number(a) + 1) continue;
      const [from, to] = [part.point(a), part.point(b)];
      const nodes = [nodeOf(from), nodeOf(to)];
      if (nodes[0] === undefined || nodes[1] === undefined || nodes[0] === nodes[1]) continue;
      const key = [...nodes].sort().join(' ');
      if (!found.has(key)) found.set(key, touching([from, to], rest, [nodes[0], nodes[1]]));
    }
  }
  return [...found.values()];
}

/** Ω of a bridge that is not quite nothing: thin solder, a whisker. Against a stiff output even a hundredth of an ohm is heard. */
const bridges = [0.01, 0.03, 0.1, 0.3];

function touching(between: readonly [string, string], rest: Context, [a, b]: readonly [string, string]): Hypothesis {
  const variant = (weight: number, bridge: Omit<Bridge, 'between'>): Variant => {
    const effect: Effect = { bridges: [{ between, ...bridge }] };
    return { weight, effect: { ...effect, ...pulledDown(rest, effect, a, b) } };
  };
  // Against an output of which nobody says how stiff it is, so fine a difference says nothing.
  const thin = rest.bench.board.outputs.some(
    ({ name, pin }) => pin.spec?.impedance === undefined && [a, b].includes(rest.bench.nodeOf(name) ?? ''),
  )
    ? []
    : bridges;
  const variants = [
    variant(thin.length > 0 ? 0.5 : 1, { ohms: 0 }),
    ...thin.map((ohms) => variant(0.5 / thin.length, { ohms, spread: 0.5 })),
  ];
  return { cause: 'short', at: between, mode: null, prior: odds.bridge, variants };
}

/**
 * How far apart two sides are, as a factor of the impedance seen between them: up to about it they are mixed, beyond it they leak.
 * Log-even.
 */
const mixing = [0.003, 0.01, 0.03, 0.1, 0.2, 0.4, 0.7, 1.2, 2, 3];
const leaking = [6, 10, 20, 40, 70, 120, 200, 400, 800, 1600, 3200];
const toneHertz = 997;

/** The places where both sides are led out: contacts of one connector, or nets of a channel. */
function betweenSides(bench: Bench): Hypothesis[] {
  const pairs = sidePairs(bench);
  if (pairs.length === 0) return [];
  const { ports } = new Context(bench, toneHertz);
  return pairs.flatMap((between): Hypothesis[] => {
    const port = ports.port(bench.nodeOf(between[0])!, bench.nodeOf(between[1])!);
    const z = port === undefined ? undefined : ports.transfer(port, port);
    const seen = z ? Math.max(Math.hypot(z.re, z.im), 0.1) : 1000;
    const over = (by: Omit<Bridge, 'between'>, weight: number, text: string): Variant => ({
      weight,
      effect: { bridges: [{ between, spread: 0.3, ...by }] },
      text: `about ${text} between them`,
    });
    const ohmic = (factor: number, weight: number) =>
      over({ ohms: factor * seen }, weight, formatQuantity(twoDigits(factor * seen), 'Ω'));
    const farads = (factor: number) => 1 / (2 * Math.PI * toneHertz * factor * seen);
    return [
      {
        cause: 'mono-summed',
        at: between,
        mode: null,
        prior: odds['mono-summed'],
        variants: [
          // Behind the parts of each side, or by a mono plug: no ohms to speak of.
          over({ ohms: 0 }, 0.3, '0 Ω'),
          ...mixing.map((factor) => ohmic(factor, 0.7 / mixing.length)),
        ],
      },
      {
        cause: 'leakage',
        at: between,
        mode: null,
        prior: odds.leakage,
        variants: leaking.flatMap((factor) => [
          ohmic(factor, 0.5 / leaking.length),
          over({ farads: farads(factor) }, 0.5 / leaking.length, formatQuantity(twoDigits(farads(factor)), 'F')),
        ]),
      },
    ];
  });
}

const twoDigits = (value: number): number => Number(value.toPrecision(2));

function sidePairs({ copper, nodeOf }: Bench): [string, string][] {
  const found = new Map<string, [string, string]>();
  const put = (left: string, right: string) => {
    const nodes = [nodeOf(left), nodeOf(right)];
    if (nodes[0] === undefined || nodes[1] === undefined || nodes[0] === nodes[1]) return;
    const key = `${copper.node(left)!.name} ${copper.node(right)!.name}`;
    if (!found.has(key)) found.set(key, [left, right]);
  };
  for (const part of copper.parts.values()) {
    if (!part.fitted || part.kind !== 'connector') continue;
    const of = (duty: PinOnNode['duty']) => part.contacts.find((contact) => part.duty(contact) === duty);
    const [left, right] = [of('left'), of('right')];
    if (left !== undefined && right !== undefined) put(part.point(left), part.point(right));
  }
  const nets = copper.nodes.flatMap((node) => node.nets);
  const net = (channel: string) => nets.filter((one) => one.channel === channel && one.role === 'audio-out');
  for (const [k, left] of net('left').entries()) {
    const right = net('right')[k];
    if (right) put(left.name, right.name);
  }
  return [...found.values()];
}
