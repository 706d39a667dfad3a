import { degrees } from './angle';
import { bandsOfPair, lowestJudged } from './bands';
import { type DelayEstimate, estimateDelay } from './delay';
import type { BandFigures, Relation } from './figures';
import { PairMoments } from './moments';
import { type Judgement, relate } from './relation';
import { everyPair, type Spectra, segmentFor, Welch } from './welch';

export interface PairOptions {
  /** RMS below which a channel counts as silent, in the samples' unit. Default −70 dBFS of a full scale of 1 (common practice, no source). */
  readonly silence?: number;
  readonly pairs?: readonly (readonly [number, number])[];
  /** Samples a segment; default `segmentFor(frames, rate)`. */
  readonly segment?: number;
}

/** What two channels are to each other. Levels in the samples' unit, without DC; phases in degrees, second against first. */
export interface PairMeasure {
  readonly pair: readonly [number, number];
  readonly frames: number;
  readonly rms: readonly [number, number];
  readonly dc: readonly [number, number];
  /** Σab/√(Σa²Σb²) without the means; null where a channel is constant. Its deviation counts the colour of the programme. */
  readonly correlation: number | null;
  readonly correlationSd: number | null;
  /** RMS of the half-sum (a+b)/2 and the half-difference (a−b)/2. */
  readonly mid: number;
  readonly side: number;
  /** Second over first, dB. */
  readonly balance: number | null;
  readonly balanceSd: number | null;
  /** Over the bands that carry energy, weighted by power; a delay's own loss is put back. */
  readonly coherence: number | null;
  readonly phase: number | null;
  readonly phaseSd: number | null;
  /** Null where nothing broadband is coherent. It may be as small as its own deviation. */
  readonly delay: DelayEstimate | null;
  /** Frequency of the one line that carries both channels' power (a tone), else null. */
  readonly line: number | null;
  readonly bands: readonly BandFigures[];
  readonly relation: Relation;
  /** Why, with the figures that decided. */
  readonly because: string;
}

/**
 * Measures pairs of channels as a stream: `push` blocks, then `result`. Memory is a few segments a channel whatever the length.
 * `frames` is the length expected (it picks the segments); more or less may come.
 */
export class PairMeter {
  readonly #pairs: readonly (readonly [number, number])[];
  readonly #moments: PairMoments[];
  readonly #welch: Welch;
  /** Segments eight times as long, for delays beyond a quarter of the short ones; fed until it has enough. */
  readonly #long: Welch | null;
  #longLeft = 0;

  constructor(
    readonly channels: number,
    readonly rate: number,
    frames: number,
    readonly options: PairOptions = {},
  ) {
    const segment = options.segment ?? segmentFor(frames, rate);
    this.#welch = new Welch(channels, rate, { segment, pairs: options.pairs });
    this.#pairs = options.pairs ?? everyPair(channels);
    this.#moments = this.#pairs.map(() => new PairMoments());
    const long = 8 * segment;
    const enough = frames >= 4.5 * long;
    this.#long = enough ? new Welch(channels, rate, { segment: long, pairs: this.#pairs }) : null;
    this.#longLeft = enough ? 64 * long : 0;
  }

  push(blocks: readonly Float64Array[]): void {
    this.#pairs.forEach(([a, b], i) => {
      this.#moments[i]!.add(blocks[a]!, blocks[b]!);
    });
    this.#welch.push(blocks);
    if (this.#longLeft <= 0) return;
    this.#long?.push(blocks);
    this.#longLeft -= blocks[0]?.length ?? 0;
  }

  /** The averaged spectra of all channels, which other figures may share. */
  spectra(): Spectra {
    return this.#welch.result();
  }

  result(): PairMeasure[] {
    const spectra = this.spectra();
    const long = this.#long?.result() ?? null;
    return this.#pairs.map((pair, i) => measure(pair, this.#moments[i]!, spectra, long, this.options.silence));
  }
}

/** The same of whole arrays. */
export function measurePair(a: Float64Array, b: Float64Array, rate: number, options: PairOptions = {}): PairMeasure {
  const meter = new PairMeter(2, rate, a.length, options);
  meter.push([a, b]);
  return meter.result()[0]!;
}

function measure(
  pair: readonly [number, number],
  moments: PairMoments,
  spectra: Spectra,
  long: Spectra | null,
  silence = 10 ** (-70 / 20) / Math.SQRT2,
): PairMeasure {
  const [a, b] = pair;
  const frames = Math.max(1, moments.frames);
  const rms: [number, number] = [Math.sqrt(moments.aa / frames), Math.sqrt(moments.bb / frames)];
  const power = Math.sqrt(moments.aa * moments.bb);
  const correlation = power > 0 ? Math.max(-1, Math.min(1, moments.ab / power)) : null;
  const delay = spectra.segments > 1 && correlation !== null ? pickDelay(spectra, long, a, b) : null;
  const line = lineOf(spectra, a, b);
  const judgement: Judgement = {
    rms,
    silence,
    correlation,
    independent: independentSamples(spectra, moments.frames, a, b),
    bands: spectra.segments > 1 ? bandsOfPair(spectra, a, b) : [],
    aligned: delay ? bandsOfPair(delay.from, a, b, delay.estimate.seconds) : null,
    delay: delay?.estimate ?? null,
    line,
    segments: spectra.effectiveSegments * (spectra.segments ? spectra.cross(a, b).evenness : 0),
  };
  const { relation, because, carries, overall } = relate(judgement);
  const estimate = delay?.estimate ?? null;
  // Of two programmes only partly alike, a lag is a figure only where it describes them well.
  const plain = estimate !== null && estimate.residual < 20;
  const audible = relation !== 'both-silent' && relation !== 'one-silent';
  const rho = correlation ?? 0;
  const spread = 1 / Math.sqrt(Math.max(1, judgement.independent));
  return {
    pair,
    frames: moments.frames,
    rms,
    dc: [moments.meanA, moments.meanB],
    correlation,
    correlationSd: correlation === null ? null : (1 - rho * rho) * spread,
    mid: Math.sqrt(moments.mid / frames),
    side: Math.sqrt(moments.side / frames),
    balance: power > 0 ? 20 * Math.log10(rms[1] / rms[0]) : null,
    balanceSd: power > 0 ? (20 / Math.LN10) * Math.sqrt(1 - rho * rho) * spread : null,
    coherence: overall?.coherence ?? null,
    phase: overall ? degrees(overall.phase) : null,
    phaseSd: overall && Number.isFinite(overall.phaseSd) ? degrees(overall.phaseSd) : null,
    delay: audible && line === null && (relation !== 'partly' || plain) ? estimate : null,
    line,
    bands: judgement.bands.map((band, i) => ({
      from: band.from,
      to: band.to,
      rms: [Math.sqrt(band.power[0]), Math.sqrt(band.power[1])],
      coherence: band.coherence,
      threshold: band.threshold,
      phase: degrees(band.phase),
      phaseSd: Number.isFinite(band.phaseSd) ? degrees(band.phaseSd) : null,
      carries: carries[i]!,
    })),
    relation,
    because,
  };
}

/** The delay by short segments, or by long ones where it is so large that the short ones hardly see it. */
function pickDelay(spectra: Spectra, long: Spectra | null, a: number, b: number) {
  const near = estimateDelay(spectra, a, b);
  const reach = spectra.segment / spectra.rate / 8;
  if (near && Math.abs(near.seconds) < reach) return { estimate: near, from: spectra };
  const far = long && estimateDelay(long, a, b);
  if (far && long && Math.abs(far.seconds) >= reach) return { estimate: far, from: long };
  return near && { estimate: near, from: spectra };
}

/** The frequency at which one line, a window's main lobe wide, holds nine tenths of each channel's power. */
function lineOf(spectra: Spectra, a: number, b: number): number | null {
  const first = Math.ceil(lowestJudged(spectra, a, b) / spectra.binWidth);
  const peaks = [spectra.auto[a]!, spectra.auto[b]!].map((power) => {
    let total = 0;
    let peak = first;
    for (let k = first; k < power.length; k++) {
      total += power[k]!;
      if (power[k]! > power[peak]!) peak = k;
    }
    let held = 0;
    let moment = 0;
    for (let k = Math.max(first, peak - 2); k <= Math.min(power.length - 1, peak + 2); k++) {
      held += power[k]!;
      moment += power[k]! * k;
    }
    return total > 0 && held > 0.9 * total ? moment / held : null;
  });
  const [x, y] = peaks;
  if (x == null || y == null || Math.abs(x - y) > 1) return null;
  return ((x + y) / 2) * spectra.binWidth;
}

/**
 * How many independent samples a recording of this colour is worth for a correlation: 2T·∫Sx·∫Sy / ∫SxSy (Bartlett 1935, in the
 * frequency domain), N for white noise; a burst counts only for its own length.
 */
function independentSamples(spectra: Spectra, frames: number, a: number, b: number): number {
  if (spectra.segments === 0) return 1;
  const x = spectra.auto[a]!;
  const y = spectra.auto[b]!;
  let sumX = 0;
  let sumY = 0;
  let product = 0;
  for (let k = 0; k < x.length; k++) {
    sumX += x[k]!;
    sumY += y[k]!;
    product += x[k]! * y[k]!;
  }
  if (product === 0) return Math.max(1, frames);
  const seconds = (frames / spectra.rate) * spectra.cross(a, b).evenness;
  return Math.max(1, (2 * seconds * sumX * sumY * spectra.binWidth) / product);
}
