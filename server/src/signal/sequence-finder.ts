import { findChirps, type Mark, refine } from './chirp-search';
import type { Stimulus } from './figures';
import { type Part, type PartName, partNamed, parts, rises, tones } from './sequence';
import { fitSine4 } from './sine-fit';
import { type Control, partOf } from './source';

/** A part of the all-in-one recording as it lies in a capture. */
export interface FoundPart {
  readonly name: PartName;
  readonly stimulus: Stimulus;
  /** Frames to measure: inside the part, clear of its fades and of what a coupling capacitor settles. */
  readonly from: number;
  readonly to: number;
  /** Where the part itself begins, in frames. */
  readonly begins: number;
}

/** The all-in-one recording, found in a capture. Plain data. */
export interface FoundSequence {
  /** Where the recording as written begins, in frames of the capture (negative: before the capture did). */
  readonly start: number;
  /** Recorder's clock against the player's, ppm, positive where the capture came out longer; null where nothing tells. */
  readonly drift: number | null;
  readonly driftSd: number | null;
  /** How much later what was played right arrives than what was played left, s; null where only one side was heard. */
  readonly rightLate: number | null;
  readonly rightLateSd: number | null;
  /** Sync chirps found, of four. */
  readonly marks: number;
  /** Parts that lie wholly in the capture, in order. */
  readonly parts: readonly FoundPart[];
}

interface Known {
  readonly part: Part;
  readonly rising: boolean;
  /** Seconds. */
  readonly at: number;
}

const known: readonly Known[] = (['open-left', 'open-right', 'close-right', 'close-left'] as const).map((name) => {
  const part = partNamed(name);
  return { part, rising: rises(part.stimulus.side), at: part.from };
});

/** Clocks farther apart than this are not believed: crystals are within 0.02 %, and nothing else runs a recorder. */
const mostDrift = 1e-3;
/** How late one side may be, s. */
const mostLate = 0.05;
/** Left out at both ends of a part, s. */
const guard = 0.05;

/**
 * Finds the all-in-one recording in a capture of one or two channels, wherever it starts, at whatever gain, polarity, order of
 * sides and sampling rate, and cuts it into its parts. Needs two of its four sync chirps; where several takes are in one
 * capture, the clearest counts. Otherwise says why not. Rejects only when cancelled.
 */
export async function findSequence(
  channels: readonly Float64Array[],
  rate: number,
  control?: Control,
): Promise<{ readonly found: FoundSequence } | { readonly error: string }> {
  const marks = await findChirps(channels, rate, partOf(control, 0, 0.9));
  const matched = align(marks, rate);
  if (!matched) {
    const heard =
      marks.length === 1 ? 'only one sync chirp' : marks.length ? 'sync chirps that fit no take' : 'no sync chirp';
    return {
      error: `not the all-in-one recording, or cut off: ${heard} in ${(channels[0]!.length / rate).toFixed(1)} s`,
    };
  }
  let clock = timing(matched, rate);
  // Once more with chirps stretched as the clock stretches them.
  const sharper = matched.map(({ mark, point }) => ({
    point,
    mark: refine(channels, rate, mark.rising, mark.at, clock.stretch) ?? mark,
  }));
  clock = timing(sharper, rate);
  let cutOut = layOut(clock, rate, channels[0]!.length);
  if (!clock.drift) {
    // Sync at one end only: the tones still tell the clock.
    const drift = clockOfTones(cutOut, channels, rate);
    clock = timing(sharper, rate, drift);
    cutOut = layOut(clock, rate, channels[0]!.length);
  }
  return {
    found: {
      start: clock.start,
      drift: clock.drift?.ppm ?? null,
      driftSd: clock.drift?.sd ?? null,
      rightLate: clock.rightLate,
      rightLateSd: clock.rightLateSd,
      marks: sharper.length,
      parts: cutOut,
    },
  };
}

/** The parts that lie wholly in so many frames. */
function layOut(clock: Clock, rate: number, frames: number): FoundPart[] {
  const scale = clock.stretch * rate;
  return parts
    .map(({ name, stimulus, from, to }): FoundPart => {
      const late = stimulus.side === 'right' ? (clock.rightLate ?? 0) * rate : 0;
      const begins = clock.start + from * scale + late;
      // A chirp is short, and silence lies around it.
      const inside = stimulus.kind === 'sweep' ? -guard : guard;
      return {
        name,
        stimulus,
        begins,
        from: Math.ceil(begins + inside * rate),
        to: Math.floor(begins + (to - from) * scale - inside * rate),
      };
    })
    .filter(({ from, to }) => from >= 0 && to <= frames);
}

/** The clock by the surest fit of a 997 Hz tone; null where none is there. */
function clockOfTones(found: readonly FoundPart[], channels: readonly Float64Array[], rate: number): Drift | null {
  const nominal = (2 * Math.PI * tones.main) / rate;
  const fits = found
    .filter(({ stimulus }) => stimulus.tone === tones.main)
    .flatMap((part) => cut(channels, part).map((samples) => fitSine4(samples, nominal)))
    .filter((fit) => fit !== null && fit.sd.omega > 0 && Math.abs(fit.omega / nominal - 1) < mostDrift);
  const surest = fits.reduce((best, fit) => (best && best.sd.omega <= fit!.sd.omega ? best : fit), null);
  return surest && { ppm: (nominal / surest.omega - 1) * 1e6, sd: (surest.sd.omega / nominal) * 1e6 };
}

/** The samples of a part. */
export const cut = (channels: readonly Float64Array[], { from, to }: FoundPart): Float64Array[] =>
  channels.map((channel) => channel.subarray(from, to));

interface Match {
  readonly mark: Mark;
  readonly point: Known;
}

/** The marks that fit the four known chirps best: most of them, then the clearest. */
function align(marks: readonly Mark[], rate: number): Match[] | null {
  let best: Match[] | null = null;
  const worth = (matches: readonly Match[]) =>
    matches.length * 10 + matches.reduce((sum, { mark }) => sum + mark.score, 0);
  for (const [i, first] of known.entries())
    for (const second of known.slice(i + 1))
      for (const p of marks)
        for (const q of marks) {
          if (p.rising !== first.rising || q.rising !== second.rising || q.at <= p.at) continue;
          const nominal = second.at - first.at;
          const seconds = (q.at - p.at) / rate;
          const slack = first.rising === second.rising ? 0 : mostLate;
          if (Math.abs(seconds - nominal) > mostDrift * nominal + slack) continue;
          const stretch = slack ? 1 : seconds / nominal;
          const start = p.at - first.at * stretch * rate;
          const matches = known.flatMap((point) => match(marks, point, start + point.at * stretch * rate, rate) ?? []);
          if (matches.length >= 2 && (!best || worth(matches) > worth(best))) best = matches;
        }
  return best;
}

function match(marks: readonly Mark[], point: Known, expected: number, rate: number): Match | null {
  const near = marks.filter(({ rising, at }) => rising === point.rising && Math.abs(at - expected) < mostLate * rate);
  if (near.length === 0) return null;
  return { point, mark: near.reduce((best, mark) => (mark.score > best.score ? mark : best)) };
}

interface Drift {
  readonly ppm: number;
  readonly sd: number;
}

interface Clock {
  readonly start: number;
  readonly stretch: number;
  readonly drift: Drift | null;
  readonly rightLate: number | null;
  readonly rightLateSd: number | null;
}

/** Start, stretch and lateness of the right side, by what the marks at hand can tell, or with the drift given. */
function timing(matches: readonly Match[], rate: number, given: Drift | null = null): Clock {
  const of = (name: PartName) => matches.find(({ point }) => point.part.name === name);
  const [openLeft, openRight, closeRight, closeLeft] = known.map(({ part }) => of(part.name));
  // From the same side at both ends, so that no lateness enters; both sides weighed by their deviations.
  const spans = [
    [openLeft, closeLeft],
    [openRight, closeRight],
  ].flatMap(([a, b]) => (a && b ? [span(a, b, rate)] : []));
  const drift = spans.length > 0 ? weighed(spans) : given;
  const stretch = 1 + (drift?.ppm ?? 0) * 1e-6;
  const begin = ({ mark, point }: Match) => mark.at - point.at * stretch * rate;
  const lefts = [openLeft, closeLeft].filter((one) => one !== undefined);
  const rights = [openRight, closeRight].filter((one) => one !== undefined);
  const mean = (ones: readonly Match[]) => ones.reduce((sum, one) => sum + begin(one), 0) / ones.length;
  const sdOf = (ones: readonly Match[]) => Math.hypot(...ones.map(({ mark }) => mark.sd)) / ones.length;
  // One side heard at one end, the other at the other, tells drift from lateness only if drift is known.
  const sameEnd = drift !== null || (openLeft && openRight) || (closeLeft && closeRight);
  const both = lefts.length > 0 && rights.length > 0 && sameEnd;
  const start = mean(lefts.length ? lefts : rights);
  return {
    start,
    stretch,
    drift,
    rightLate: both ? (mean(rights) - start) / rate : null,
    rightLateSd: both ? Math.hypot(sdOf(lefts), sdOf(rights)) / rate : null,
  };
}

function span(a: Match, b: Match, rate: number): Drift {
  const nominal = (b.point.at - a.point.at) * rate;
  return {
    ppm: ((b.mark.at - a.mark.at) / nominal - 1) * 1e6,
    sd: (Math.hypot(a.mark.sd, b.mark.sd) / nominal) * 1e6,
  };
}

function weighed(drifts: readonly Drift[]): Drift {
  const weight = drifts.reduce((sum, { sd }) => sum + 1 / sd ** 2, 0);
  return { ppm: drifts.reduce((sum, { ppm, sd }) => sum + ppm / sd ** 2, 0) / weight, sd: 1 / Math.sqrt(weight) };
}
