import type { Board } from '../../board/board';
import type { Capture, Reading, Stimulus } from '../../board/measured';
import { stimulusText } from '../../board/measured';
import type { Complex } from '../../circuit/complex';
import { generatorVolts, levelOf, type Programme, programmes } from '../../circuit/from-board/played';
import type { ChannelFigures, PairFigures, RecordingFigures } from '../../signal/figures';
import { dcOf, type Metered, meteredOf } from './metered';
import { floors } from './priors';
import { type Colour, octaveTakes } from './spectrum';
import { unforeseen } from './unforeseen';

export type { Metered } from './metered';

/** What was seen at one probed place. `to` undefined: against the capture's ground lead, else ground. */
export interface Seen {
  readonly from: string;
  readonly to: string | undefined;
  /** Peak phasor of a tone, or RMS of anything else as a real number; V or fractions of full scale. */
  readonly value: Complex;
  /** Standard deviations of the measurement itself, in its unit: along the value, and across it. */
  readonly sd: { readonly along: number; readonly across: number };
}

/** Where a loudness comes from that is not known beforehand: takes with one name share it. */
export interface Gain {
  readonly name: string;
  /** ln of the factor, one standard deviation. */
  readonly sd: number;
}

/** Places measured at once while something was played. */
export interface Take {
  /** As it is told: "capture tone-left", "reading OUT_L 0.2 V". */
  readonly label: string;
  readonly capture: string | undefined;
  readonly state: string;
  /** `phasor`: one tone, phases known among the channels; `power`: levels alone. */
  readonly kind: 'phasor' | 'power';
  readonly bands: readonly {
    readonly hertz: number;
    readonly weight: number;
    /** Hz, where it stands for all between. */
    readonly octave?: readonly [number, number];
  }[];
  readonly side: Stimulus['side'] | 'programme';
  readonly programmes: readonly Programme[];
  /** A generator at these points instead of the board's own outputs; `volts` peak where known. */
  readonly into: Stimulus['into'];
  readonly source: number | undefined;
  readonly input: number | undefined;
  readonly ground: string | undefined;
  readonly gain: Gain;
  readonly channels: readonly Seen[];
  /** Correlation of the first two channels, for `power`; with the delay of the second where it was found. */
  readonly correlation: { readonly value: number; readonly sd: number } | undefined;
  readonly delay: { readonly value: number; readonly sd: number } | undefined;
}

export interface Measured {
  readonly takes: readonly Take[];
  readonly metered: readonly Metered[];
  /** What was measured but says nothing here, each with its reason. */
  readonly unused: readonly string[];
  /** Takes whose level counts for little, each with its reason. */
  readonly doubted?: readonly string[];
  /** What of the mains is heard in any recording. */
  readonly hum?: readonly ('hum' | 'ripple')[];
}

/** Hz and shares that stand for anything broadband. */
const broad = [
  { hertz: 250, weight: 1 / 3 },
  { hertz: 1000, weight: 1 / 3 },
  { hertz: 4000, weight: 1 / 3 },
];

/** Everything measured on a board, in the form the network can be asked for. */
export function measuredOn(board: Board, figures: ReadonlyMap<string, RecordingFigures>): Measured {
  const unused: string[] = [];
  const doubted: string[] = [];
  const hum: ('hum' | 'ripple')[] = [];
  const takes: Take[] = [];
  const metered: Metered[] = [];
  for (const capture of board.captures) {
    const label = `capture ${capture.name}`;
    const recording = figures.get(capture.name);
    if (!recording || capture.stimulusBroken) {
      unused.push(`${label}: ${recording ? 'its stimulus cannot be read' : 'not measured'}`);
      continue;
    }
    const heard = recording.channels.flatMap(humOf);
    hum.push(...heard);
    const before = takes.length;
    const cut = recording.channels.filter(({ thd, clipped }) => bent(thd, clipped) > 0);
    if (cut.length > 0) doubted.push(`${label} (${cut.map(bentText).join('; ')})`);
    if (recording.sequence)
      for (const segment of recording.sequence.segments) {
        const { stimulus } = segment;
        const level = stimulus.level === undefined ? undefined : 10 ** (stimulus.level / 20);
        const played = {
          kind: stimulus.kind,
          frequency: stimulus.tone,
          side: stimulus.side,
          level,
          colour: 'white' as const,
          seconds: segment.stretch.to - segment.stretch.from,
        };
        takes.push(...takesOf(capture, `${label}, ${segment.name}`, played, segment.channels, segment.pair));
      }
    else if (capture.stimulus) {
      const { kind, frequency } = capture.stimulus;
      const side = sideOf(capture.stimulus);
      const level = capture.stimulus.into.length > 0 ? generatorPeak(capture.stimulus) : levelOf(capture.stimulus);
      const colour = kind === 'sweep' ? 'pink' : capture.stimulus.noise;
      const played = { kind, frequency, side, level, colour, seconds: recording.duration };
      takes.push(...takesOf(capture, label, played, recording.channels, recording.pairs[0] ?? null));
    }
    const own = recording.sequence ? [] : dcOf(capture, label, recording.channels);
    metered.push(...own);
    if (takes.length === before && own.length + heard.length === 0)
      unused.push(`${label}: ${stimulusText(capture.stimulus)} cannot be predicted`);
  }
  for (const reading of board.readings) {
    const ac = reading.kind === 'ac' ? acTake(reading) : undefined;
    const why = reading.kind === 'dc' ? notForeseen(reading, board) : undefined;
    const other = meteredOf(reading, board);
    if (why !== undefined) unused.push(`${reading.label}: ${why}`);
    else if (ac) takes.push(ac);
    else if (other) metered.push(other);
    else if (reading.kind !== 'frequency') unused.push(`${reading.label}: no figure of the network`);
  }
  return { takes, metered, unused, doubted, hum };
}

function notForeseen({ points, state }: Reading, board: Board): string | undefined {
  const copper = board.at(state);
  for (const { ref } of points) {
    const why = unforeseen(copper, ref.name);
    if (why !== undefined) return why;
  }
  return undefined;
}

/** The side a stimulus is on: one generator that feeds one place is on no side, and all there is. */
const sideOf = ({ side, into }: Pick<Stimulus, 'side' | 'into'>): Stimulus['side'] =>
  side ?? (into.length === 1 && into[0]!.side === undefined ? 'both' : undefined);

/** dB, against a tone or else full scale, from which hum is heard. Common practice, no source. */
const audible = -70;

/** Combs that are the mains’: frames of 10 ms lie where the ripple of 50 Hz does, and are the rarer of the two on a bench. */
const humOf = ({ hum, combs }: ChannelFigures): ('hum' | 'ripple')[] =>
  hum === null || hum === undefined || hum < audible
    ? []
    : combs.flatMap(({ names }) =>
        names.some((name) => name.includes('mains'))
          ? [names.some((name) => name.includes('ripple')) ? ('ripple' as const) : ('hum' as const)]
          : [],
      );

const generatorPeak = (stimulus: Stimulus): number | undefined => {
  const volts = generatorVolts(stimulus);
  return volts === undefined ? undefined : volts * Math.SQRT2;
};

interface Played {
  readonly kind: Stimulus['kind'];
  readonly frequency: number | undefined;
  readonly side: Stimulus['side'];
  readonly level: number | undefined;
  /** Of noise and sweeps (exponential ones, which spend as long on each octave), where it is known. */
  readonly colour: Colour | undefined;
  readonly seconds: number;
}

function takesOf(
  capture: Capture,
  label: string,
  played: Played,
  channels: readonly ChannelFigures[],
  pair: PairFigures | null,
): Take[] {
  const { kind, side } = played;
  const tone = kind === 'tone' && played.frequency !== undefined && side !== undefined && side !== 'unlike';
  const broadband = (kind === 'noise' && side !== undefined) || kind === 'programme' || kind === 'sweep';
  if (!tone && !broadband) return [];
  const probed = capture.channels.flatMap((channel) => {
    const own = channels.find((candidate) => candidate.name === channel.key);
    return own && own.unit !== 'A' ? [{ channel, own }] : [];
  });
  if (probed.length === 0) return [];
  const scaled = probed.every(({ own }) => own.unit === 'V');
  const sideHeard = side ?? (kind === 'sweep' ? 'both' : 'programme');
  const told = scaled && played.level !== undefined;
  const ground = capture.groundLead === 'none' ? undefined : capture.groundLead?.ref.name;
  const seen = probed.map(({ channel, own }): Seen => {
    const to = channel.points[1]?.ref.name;
    return { from: channel.points[0]!.ref.name, to, ...(tone ? phasorOf(own) : levelSeen(own)) };
  });
  // Programme without a side may be louder on one side: its levels prove nothing, how its channels are alike does.
  const levels = sideHeard !== 'programme';
  const correlated = !tone && probed.length >= 2 && pair && pair.correlation !== null && pair.relation !== 'one-silent';
  const whole: Take = {
    label,
    capture: capture.name,
    state: capture.state,
    kind: tone ? 'phasor' : 'power',
    bands: tone ? [{ hertz: played.frequency!, weight: 1 }] : broad,
    side: sideHeard,
    programmes: sideHeard === 'programme' ? [] : programmes(sideHeard, played.level ?? 1),
    into: capture.stimulus?.into ?? [],
    source: capture.stimulus?.source,
    input: capture.input,
    ground,
    gain: told
      ? { name: `scale of ${capture.name}`, sd: floors.scale }
      : scaled
        ? { name: 'what was played', sd: floors.unknownGain }
        : { name: `gain of ${capture.name}`, sd: floors.unknownGain },
    channels: levels ? seen : seen.map((one) => ({ ...one, sd: { along: Infinity, across: Infinity } })),
    correlation: correlated
      ? { value: pair.correlation!, sd: Math.max(floors.correlation, pair.correlationSd ?? 0) }
      : undefined,
    delay:
      correlated && side === 'both' && pair.delay !== null
        ? { value: pair.delay, sd: Math.max(floors.delay, pair.delaySd ?? 0) }
        : undefined,
  };
  const { colour, seconds } = played;
  const octaves = !tone && levels && pair && colour !== undefined ? octaveTakes(whole, colour, pair, seconds) : [];
  return [whole, ...octaves];
}

/** A tone as a phasor: a channel in which none stands out is 0, as sure as its noise allows. */
function phasorOf({ tone, rms, thd, clipped }: ChannelFigures): Pick<Seen, 'value' | 'sd'> {
  if (!tone) return { value: { re: 0, im: 0 }, sd: { along: 0.02 * rms, across: 0.02 * rms } };
  const angle = (tone.phase * Math.PI) / 180;
  return {
    value: { re: tone.amplitude * Math.cos(angle), im: tone.amplitude * Math.sin(angle) },
    sd: {
      along: tone.sd.amplitude + tone.amplitude * bent(thd, clipped),
      across: Math.max(tone.sd.amplitude * 0.5, (tone.amplitude * tone.sd.phase * Math.PI) / 180),
    },
  };
}

/**
 * Share by which the level of a bent tone may lie below that of the straight one the network predicts. Clipped at c of its peak,
 * a sine keeps 0.96, 0.82 and 0.61 of its fundamental at 4.2, 13.4 and 23.3 % of THD (closed form of the clipped sine): at most
 * 2.8 times the THD is missing. Whatever bends it, no more is claimed.
 */
export function bent(thd: number | null | undefined, clipped: number | null | undefined): number {
  const share = thd === null || thd === undefined ? 0 : 10 ** (thd / 20);
  const lost = share > noticeable ? 2.8 * share : 0;
  return (clipped ?? 0) > 0 ? Math.max(lost, clippedShare) : lost;
}

const bentText = ({ name, thd, clipped }: ChannelFigures): string =>
  `channel ${name} ${(clipped ?? 0) > 0 ? 'clipped' : `at ${(100 * 10 ** (thd! / 20)).toPrecision(2)} % distortion`}`;

/** THD from which a level is doubted, and what clipping alone, its harmonics unseen, costs at least. Common practice, no source. */
const noticeable = 0.01;
const clippedShare = 0.1;

/** The peak of a sine of the same power: so that noise and tones are held against one scale. */
const levelSeen = ({ rms, sd }: ChannelFigures): Pick<Seen, 'value' | 'sd'> => ({
  value: { re: rms * Math.SQRT2, im: 0 },
  sd: { along: (sd.rms ?? 0) * Math.SQRT2 + floors.broadband * rms, across: Infinity },
});

function acTake(reading: Reading): Take | undefined {
  const { stimulus, points } = reading;
  if (stimulus?.kind !== 'tone' || stimulus.frequency === undefined) return undefined;
  const side = sideOf(stimulus);
  if (points.length === 0 || side === undefined || side === 'unlike') return undefined;
  const level = stimulus.into.length > 0 ? generatorPeak(stimulus) : levelOf(stimulus);
  return {
    label: reading.label,
    capture: undefined,
    state: reading.state,
    kind: 'power',
    bands: [{ hertz: stimulus.frequency, weight: 1 }],
    side,
    programmes: programmes(side, level ?? 1),
    into: stimulus.into,
    source: stimulus.source,
    input: undefined,
    ground: undefined,
    gain:
      level === undefined
        ? { name: 'what was played', sd: floors.unknownGain }
        : { name: `meter ${reading.label}`, sd: 0.01 },
    channels: [
      {
        from: points[0]!.ref.name,
        to: points[1]?.ref.name,
        value: { re: reading.value * Math.SQRT2, im: 0 },
        sd: { along: 0.01 * reading.value + 1e-3, across: Infinity },
      },
    ],
    correlation: undefined,
    delay: undefined,
  };
}
