import type { Copper } from '../../board/copper';
import type { Part } from '../../board/part';
import { outputs, pathsFrom } from '../../board/paths';
import type { Bench } from './bench';
import { floors } from './priors';
import type { Metered, Take } from './takes';
import type { NextProbe } from './types';

/** A measurement that could be made next. */
export interface Candidate extends Pick<NextProbe, 'probe' | 'stimulus' | 'plays' | 'instrument' | 'effort'> {
  /** What it would be, for the network to be asked. */
  readonly take?: Take;
  readonly meter?: Metered;
}

/**
 * Effort of one more measurement: at the jack a lead is plugged in, inside probes are clipped on (the recording is most of the work,
 * a further clip little); ohms want the power off. Common practice, no source.
 */
const efforts = { contact: 1, inside: 1.3, two: 1.4, three: 1.5, volts: 1, ohms: 1.3 } as const;

interface Played {
  readonly text: string;
  readonly words: string;
  /** What makes it a little more trouble than a tone everybody has. */
  readonly effort: number;
  readonly hertz: number;
  readonly side: 'left' | 'right' | 'both' | 'opposed';
  readonly left: number;
  readonly right: number;
}

const tone = (hertz: number, side: Played['side'], words: string, left: number, right: number, effort = 1): Played => ({
  text: `{tone: ${hertz} Hz, side: ${side}}`,
  words: `${hertz} Hz ${words}`,
  effort,
  hertz,
  side,
  left,
  right,
});
const stimuli: readonly Played[] = [
  tone(997, 'left', 'on the left alone', 1, 0),
  tone(997, 'right', 'on the right alone', 0, 1),
  tone(997, 'both', 'on both sides in phase', 1, 1),
  tone(997, 'opposed', 'on both sides in antiphase', 1, -1, 1.1),
  tone(40, 'both', 'on both sides in phase', 1, 1, 1.1),
];
const together = stimuli.filter(({ side }) => side === 'both');

/** −12 dBFS, as the test signals play. */
const loudness = 10 ** (-12 / 20);

/** What has been measured already is not proposed again. */
const nameOf = (take: Take): string =>
  `${take.channels.map(({ from }) => from).join(' ')} ${take.bands[0]?.hertz} ${take.side}`;

interface Done {
  readonly takes: readonly Take[];
  readonly metered: readonly Metered[];
}

/** Everything that could be measured next with a recorder or a meter, and has not been. */
export function candidates(bench: Bench, measured: Done): Candidate[] {
  const { copper } = bench;
  const found = [...atConnectors(bench), ...inside(bench)];
  const passives = new Set(['resistor', 'inductor', 'ferrite', 'fuse', 'capacitor']);
  for (const part of copper.parts.values())
    if (part.fitted && part.kind && passives.has(part.kind) && copper.nodeOf(part, '1') && copper.nodeOf(part, '2'))
      found.push(meter(copper, 'ohms', part.point('1'), part.point('2')));
  for (const node of copper.nodes)
    if (node.nets.some((net) => net.role === 'supply')) found.push(meter(copper, 'dc', node.nets[0]!.name));
  const done = new Set(measured.takes.map(nameOf));
  const read = new Set(
    measured.metered.map(({ kind, from, to }) => `${kind === 'dc' ? 'dc' : 'ohms'} ${from} ${to ?? ''}`),
  );
  return found.filter(({ take, meter: one }) =>
    take ? !done.has(nameOf(take)) : !read.has(`${one!.kind} ${one!.from} ${one!.to ?? ''}`),
  );
}

function recorder(
  copper: Copper,
  probe: readonly string[],
  effort: number,
  playing: readonly Played[] = stimuli,
  ground?: string,
): Candidate[] {
  return playing.map(({ text, words, effort: more, hertz, side, left, right }) => ({
    probe,
    stimulus: text,
    plays: words,
    instrument: 'recorder',
    effort: effort * more,
    take: {
      label: `${probe.join(' ')} ${text}`,
      capture: undefined,
      state: copper.state,
      kind: 'phasor',
      bands: [{ hertz, weight: 1 }],
      side,
      programmes: [{ left: left * loudness, right: right * loudness }],
      into: [],
      source: undefined,
      input: undefined,
      ground,
      gain: { name: 'known', sd: floors.scale },
      channels: probe.map((from) => ({ from, to: undefined, value: { re: 0, im: 0 }, sd: { along: 0, across: 0 } })),
      correlation: undefined,
      delay: undefined,
    },
  }));
}

function meter(copper: Copper, kind: 'dc' | 'ohms', from: string, to?: string): Candidate {
  const probe = to === undefined ? [from] : [from, to];
  const instrument = kind === 'dc' ? 'volts' : 'ohms';
  return {
    probe,
    stimulus: null,
    plays: null,
    instrument,
    effort: efforts[instrument],
    meter: { label: `${kind} ${probe.join(' ')}`, state: copper.state, kind, from, to, value: 1 },
  };
}

function atConnectors({ copper, reference }: Bench): Candidate[] {
  return [...copper.parts.values()].flatMap((part) => {
    if (!part.fitted || part.kind !== 'connector') return [];
    const there = part.contacts.filter((contact) => copper.nodeOf(part, contact));
    const contacts = there.filter((contact) => carriesAudio(part, contact)).map((contact) => part.point(contact));
    if (contacts.length === 0) return [];
    const back = there.find((contact) => part.duty(contact) === 'common');
    const common = back === undefined ? undefined : part.point(back);
    return [
      ...recorder(copper, contacts, efforts.contact, stimuli, common),
      ...(common === undefined
        ? []
        : [...recorder(copper, [common], efforts.contact), meter(copper, 'ohms', common, reference)]),
    ];
  });
}

const carriesAudio = (part: Part, contact: string): boolean => {
  const duty = part.duty(contact);
  return duty === 'left' || duty === 'right' || duty === 'mono' || duty === 'hot' || duty === 'cold';
};

/**
 * Probes held on the board: one point, or two or three at once on one way (a scope's channels) while both sides play, which serves
 * whichever side it is.
 */
function inside({ copper }: Bench): Candidate[] {
  const ways = waysOf(copper);
  return [
    ...[...new Set(ways.flat())].flatMap((point) => [
      ...recorder(copper, [point], efforts.inside),
      meter(copper, 'dc', point),
    ]),
    ...ways.flatMap((way) =>
      subsets(way).flatMap((probe) =>
        probe.length === 2
          ? recorder(copper, probe, efforts.two, together)
          : recorder(copper, probe, efforts.three, together.slice(0, 1)),
      ),
    ),
  ];
}

/** Two or three points of a way, in its order. */
const subsets = (way: readonly string[]): string[][] =>
  way.flatMap((first, i) =>
    way
      .slice(i + 1)
      .flatMap((second, j) => [[first, second], ...way.slice(i + j + 2).map((third) => [first, second, third])]),
  );

/** Points along the way from each output to where it is wanted: one a node, and the contact, which may be open, beside its copper. */
function waysOf(copper: Copper): string[][] {
  return outputs(copper).flatMap(({ pin, node }) =>
    pathsFrom(copper, pin, node).map((path) => [
      pin.name,
      ...path.steps.map((step) => step.part.point(step.pins[1])),
      ...(path.contact ? [path.contact.name] : []),
    ]),
  );
}
