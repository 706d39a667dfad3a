import { outputs, pathsFrom } from '../../board/paths';
import type { Bench } from './bench';
import type { Ranked } from './groups';
import { floors } from './priors';
import { Scene } from './scene';
import type { Metered, Take } from './takes';
import type { NextProbe } from './types';

/** Causes whose outcomes are looked at, and proposals told. */
const mostCauses = 40;
const mostTold = 6;
/** Bits below which a measurement is not worth naming. */
const worthwhile = 0.02;

/** Effort of one more measurement. Common practice, no source: at the jack a lead is plugged in, inside a probe is held. */
const efforts = { contact: 1, inside: 1.5, volts: 0.7, ohms: 1.2 } as const;

interface Candidate {
  readonly probe: readonly string[];
  readonly stimulus: string | null;
  readonly plays: string | null;
  readonly instrument: NextProbe['instrument'];
  readonly effort: number;
  /** Index of its take or meter in the scene asked. */
  readonly take?: Take;
  readonly meter?: Metered;
}

/** What would be measured next, best first: expected information for its effort, and what each outcome would mean. */
export function nextProbes(
  scene: Scene,
  bench: Bench,
  causes: readonly Ranked[],
  tell: (cause: Ranked) => string,
): NextProbe[] {
  const known = causes.filter((cause) => cause.best !== null).slice(0, mostCauses);
  const total = known.reduce((sum, { probability }) => sum + probability, 0);
  if (known.length < 2 || !(total > 0)) return [];
  const share = known.map(({ probability }) => probability / total);
  const wanted = candidates(scene, bench);
  const asked = new Scene(scene.board, {
    takes: wanted.flatMap(({ take }) => take ?? []),
    metered: wanted.flatMap(({ meter }) => meter ?? []),
    unused: [],
  });
  const seen = known.map((cause) => asked.predict(cause.best!.variant.effect, false).values);
  const found: (NextProbe & { readonly order: number })[] = [];
  for (const [order, candidate] of wanted.entries()) {
    const apart = separation(asked, candidate);
    if (!apart) continue;
    const between = known.map((_, i) => known.map((__, j) => (i === j ? 0 : apart(seen[i]!, seen[j]!))));
    const gain = information(share, between);
    if (gain < worthwhile) continue;
    const { probe, stimulus, plays, instrument, effort } = candidate;
    const outcomes = outcomesOf(asked, candidate, known, share, between, seen, tell);
    found.push({ probe, stimulus, plays, instrument, gain, effort, outcomes, order });
  }
  return found
    .sort((a, b) => b.gain / b.effort - a.gain / a.effort || a.order - b.order)
    .slice(0, mostTold)
    .map(({ order: _, ...told }) => told);
}

/**
 * Bits that a measurement is expected to give about which cause it is: the lower bound of Kolchinsky and Tracey (Entropy 19, 2017,
 * 361; from memory) for a mixture of Gaussians, with the Bhattacharyya distance d²/8 of two of equal spread.
 */
export function information(share: readonly number[], between: readonly (readonly number[])[]): number {
  let bits = 0;
  for (const [i, p] of share.entries()) {
    if (p === 0) continue;
    let sum = 0;
    for (const [j, q] of share.entries()) sum += q * Math.exp(-between[i]![j]! / 8);
    bits -= p * Math.log2(sum);
  }
  return Math.max(0, bits);
}

type Apart = (a: Float64Array, b: Float64Array) => number;

/** How far apart two predictions of a candidate are, as χ²: levels to about 1 dB, phases to about 5°. */
function separation(asked: Scene, { take, meter }: Candidate): Apart | undefined {
  if (take) {
    const staged = asked.takes.find((one) => one.take.label === take.label);
    if (!staged) return undefined;
    const from = 2 * staged.first;
    const count = staged.take.channels.length;
    return (a, b) => {
      const turn = { re: 0, im: 0 };
      for (let k = 0; k < count; k++) {
        const [x, y, u, v] = [a[from + 2 * k]!, a[from + 2 * k + 1]!, b[from + 2 * k]!, b[from + 2 * k + 1]!];
        turn.re += x * u + y * v;
        turn.im += y * u - x * v;
      }
      const length = Math.hypot(turn.re, turn.im) || 1;
      let square = 0;
      for (let k = 0; k < count; k++) {
        const [x, y, u, v] = [a[from + 2 * k]!, a[from + 2 * k + 1]!, b[from + 2 * k]!, b[from + 2 * k + 1]!];
        const re = x - (u * turn.re - v * turn.im) / length;
        const im = y - (u * turn.im + v * turn.re) / length;
        const sd = 0.09 * Math.max(Math.hypot(x, y), Math.hypot(u, v)) + 10 * floors.quiet;
        square += (re * re + im * im) / (sd * sd);
      }
      return square;
    };
  }
  const staged = asked.meters.find((one) => one.meter.label === meter!.label);
  if (!staged) return undefined;
  const at = 2 * staged.slot;
  const dc = meter!.kind === 'dc';
  const sd = (value: number) => (dc ? 0.03 + 0.03 * Math.abs(value) : staged.atChip ? 0.4 : 0.12);
  const shown = (value: number) =>
    meter!.kind === 'dc' ? value : Math.min(Math.max(value, Math.log(0.5)), Math.log(2e7));
  return (a, b) => ((shown(a[at]!) - shown(b[at]!)) / Math.max(sd(a[at]!), sd(b[at]!))) ** 2;
}

function outcomesOf(
  asked: Scene,
  candidate: Candidate,
  known: readonly Ranked[],
  share: readonly number[],
  between: readonly (readonly number[])[],
  seen: readonly Float64Array[],
  tell: (cause: Ranked) => string,
): NextProbe['outcomes'] {
  const leaders: { at: number; share: number }[] = [];
  for (const i of known.keys()) {
    const leader = leaders.find(({ at }) => between[at]![i]! < 9);
    if (leader) leader.share += share[i]!;
    else leaders.push({ at: i, share: share[i]! });
  }
  return leaders
    .sort((a, b) => b.share - a.share || a.at - b.at)
    .slice(0, 3)
    .map(({ at }) => ({ shows: shown(asked, candidate, seen[at]!), means: tell(known[at]!) }));
}

/** A predicted outcome as it would be read. */
function shown(asked: Scene, { take, meter, probe }: Candidate, values: Float64Array): string {
  if (meter) {
    const value = values[2 * asked.meters.find((one) => one.meter.label === meter.label)!.slot]!;
    if (meter.kind === 'dc') return `${value.toFixed(2)} V`;
    const ohms = value;
    return ohms > 1e7 ? 'over range' : ohms < 1 ? 'a beep' : `about ${Number(ohms.toPrecision(2))} Ω`;
  }
  const first = asked.takes.find((one) => one.take.label === take!.label)!.first;
  const levels = take!.channels.map((_, k) => Math.hypot(values[2 * (first + k)]!, values[2 * (first + k) + 1]!));
  const most = Math.max(...levels);
  const text = (level: number) =>
    level < 1e-3 * Math.max(most, 0.05) ? 'nothing' : `${Number((level / Math.SQRT2).toPrecision(2))} V`;
  const told = levels.map((level, k) => `${text(level)} at ${probe[k]}`).join(', ');
  if (levels.length < 2 || levels[0]! < 1e-2 * most || levels[1]! < 1e-2 * most) return told;
  const [a, b, c, d] = [0, 1, 2, 3].map((k) => values[2 * first + k]!) as [number, number, number, number];
  return `${told}, ${a * c + b * d < 0 ? 'in opposite phase' : 'in phase'}`;
}

const stimuli = [
  {
    text: '{tone: 997 Hz, side: left}',
    words: '997 Hz on the left alone',
    effort: 1,
    hertz: 997,
    side: 'left',
    left: 1,
    right: 0,
  },
  {
    text: '{tone: 997 Hz, side: right}',
    words: '997 Hz on the right alone',
    effort: 1,
    hertz: 997,
    side: 'right',
    left: 0,
    right: 1,
  },
  {
    text: '{tone: 997 Hz, side: both}',
    words: '997 Hz on both sides in phase',
    effort: 1,
    hertz: 997,
    side: 'both',
    left: 1,
    right: 1,
  },
  {
    text: '{tone: 997 Hz, side: opposed}',
    words: '997 Hz on both sides in antiphase',
    effort: 1.1,
    hertz: 997,
    side: 'opposed',
    left: 1,
    right: -1,
  },
  {
    text: '{tone: 40 Hz, side: both}',
    words: '40 Hz on both sides in phase',
    effort: 1.1,
    hertz: 40,
    side: 'both',
    left: 1,
    right: 1,
  },
] as const;

/** −12 dBFS, as the test signals play. */
const loudness = 10 ** (-12 / 20);

/** Everything that could be measured next with a recorder or a meter. */
function candidates(scene: Scene, bench: Bench): Candidate[] {
  const { copper } = bench;
  const state = copper.state;
  const found: Candidate[] = [];
  const recorder = (probe: readonly string[], effort: number, ground?: string) => {
    for (const { text, words, effort: more, hertz, side, left, right } of stimuli)
      found.push({
        probe,
        stimulus: text,
        plays: words,
        instrument: 'recorder',
        effort: effort * more,
        take: {
          label: `${probe.join(' ')} ${text}`,
          capture: undefined,
          state,
          kind: 'phasor',
          bands: [{ hertz, weight: 1 }],
          side,
          programmes: [{ left: left * loudness, right: right * loudness }],
          into: [],
          source: undefined,
          input: undefined,
          ground,
          gain: { name: 'known', sd: floors.scale },
          channels: probe.map((from) => ({
            from,
            to: undefined,
            value: { re: 0, im: 0 },
            sd: { along: 0, across: 0 },
          })),
          correlation: undefined,
          delay: undefined,
        },
      });
  };
  const meter = (kind: 'dc' | 'ohms', from: string, to: string | undefined) => {
    const probe = to === undefined ? [from] : [from, to];
    const instrument = kind === 'dc' ? 'volts' : 'ohms';
    found.push({
      probe,
      stimulus: null,
      plays: null,
      instrument,
      effort: efforts[instrument],
      meter: { label: `${kind} ${probe.join(' ')}`, state, kind, from, to, value: 1 },
    });
  };
  const places = new Map<string, string>();
  for (const part of copper.parts.values()) {
    if (!part.fitted || part.kind !== 'connector') continue;
    const audio = part.contacts.filter((contact) => {
      const duty = part.duty(contact);
      return (
        copper.nodeOf(part, contact) &&
        (duty === 'left' || duty === 'right' || duty === 'mono' || duty === 'hot' || duty === 'cold')
      );
    });
    if (audio.length === 0) continue;
    const common = part.contacts.find((contact) => part.duty(contact) === 'common' && copper.nodeOf(part, contact));
    const contacts = audio.map((contact) => part.point(contact));
    recorder(contacts, efforts.contact, common === undefined ? undefined : part.point(common));
    if (common !== undefined) {
      recorder([part.point(common)], efforts.contact);
      meter('ohms', part.point(common), bench.reference);
    }
    for (const contact of contacts) places.set(copper.node(contact)!.name, contact);
  }
  for (const { pin, node } of outputs(copper)) {
    if (!places.has(node.name)) places.set(node.name, pin.name);
    for (const path of pathsFrom(copper, pin, node))
      for (const step of path.steps)
        if (!places.has(step.to.name)) places.set(step.to.name, step.part.point(step.pins[1]));
  }
  for (const point of places.values()) {
    recorder([point], efforts.inside);
    meter('dc', point, undefined);
  }
  const passives = new Set(['resistor', 'inductor', 'ferrite', 'fuse', 'capacitor']);
  for (const part of copper.parts.values())
    if (part.fitted && part.kind && passives.has(part.kind) && copper.nodeOf(part, '1') && copper.nodeOf(part, '2'))
      meter('ohms', part.point('1'), part.point('2'));
  for (const node of copper.nodes)
    if (node.nets.some((net) => net.role === 'supply')) meter('dc', node.nets[0]!.name, undefined);
  const done = new Set(
    scene.measured.takes.map(
      (take) => `${take.channels.map(({ from }) => from).join(' ')} ${take.bands[0]?.hertz} ${take.side}`,
    ),
  );
  return found.filter(
    ({ take }) =>
      !take || !done.has(`${take.channels.map(({ from }) => from).join(' ')} ${take.bands[0]!.hertz} ${take.side}`),
  );
}
