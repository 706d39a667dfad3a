import { degrees, wrap } from './angle';
import type { BandOfPair } from './bands';
import { phaseDeviation, unbiasedCoherence } from './coherence';
import type { DelayEstimate } from './delay';
import type { Relation } from './figures';

/*
 * Thresholds. Common practice, no source, but for what statistics fix. A wiring fault inverts everything alike, so it leaves
 * coherence near 1 and 180° in every band; wide or hissy programme may well correlate at −0.7, with coherence near 0.8.
 */
const silentBelow = -30; // dB under the other channel: what is left there is crosstalk
const silentAndLow = -20; // dB under the other channel when it also lies under the floor of silence
const carriesFrom = 0.01; // share of the power, −20 dB, from which a band takes part
const coherentFrom = 0.9; // a noise 13 dB below the programme in each channel gives 0.907
const correlatedFrom = 0.9;
const allCoherentFrom = 0.95; // over all bands together, where hiss may drown a weak one
const weakBelow = 0.1; // share of the power, −10 dB, under which a band is weak
const comparable = -6; // dB: a wire turned over leaves both sides as loud, a lone source panned aside and widened does not
const phaseWithin = Math.PI / 4;
const speaksFrom = 0.5; // coherence from which a weak band may contradict
const broadFrom = 4; // independent bins from which it is more than a line or two
const fewSegments = 3; // with less independent evidence coherence says nothing
const byCorrelationAlone = 0.98;
const unrelatedBelow = 0.2; // share of power in common up to which channels count as two programmes

/** What the relation is judged by. */
export interface Judgement {
  readonly rms: readonly [number, number];
  /** RMS under which a channel is silent. */
  readonly silence: number;
  readonly correlation: number | null;
  /** Independent samples the correlation rests on. */
  readonly independent: number;
  /** Octave bands as recorded, and with the estimated delay taken out. */
  readonly bands: readonly BandOfPair[];
  readonly aligned: readonly BandOfPair[] | null;
  readonly delay: DelayEstimate | null;
  /** Frequency of the one line that carries the power. */
  readonly line: number | null;
  /** Segments' worth of independent evidence in the bands' coherence. */
  readonly segments: number;
}

/** Coherence and phase over the bands that carry energy, weighted by power. Phase in radians. */
export interface Overall {
  readonly coherence: number;
  readonly phase: number;
  readonly phaseSd: number;
}

export interface Related {
  readonly relation: Relation;
  readonly because: string;
  readonly carries: readonly boolean[];
  readonly overall: Overall | null;
}

/**
 * Decides how two channels stand to each other.
 *
 * `same` and `antiphase` need coherence of 0.9 in every octave that carries 1 % of the power (of 10 %, where it is 0.95 over
 * all and both are about as loud), a phase within 45° of 0 or 180 in every such octave, a correlation of ±0.9 that chance does
 * not explain, and for `antiphase` no weaker band that coheres otherwise. `delayed` needs the same of the channels aligned.
 * `unrelated`: no more power in common than chance gives, or less than a fifth. What is none of these is `partly`.
 */
export function relate(given: Judgement): Related {
  const { rms, silence } = given;
  const loud = Math.max(...rms);
  const below = balanceOf(rms);
  const carries = carrying(given);
  const answer = (relation: Relation, because: string, overall: Overall | null = null): Related => ({
    relation,
    because,
    carries,
    overall,
  });
  if (!(loud >= silence)) return answer('both-silent', 'neither channel rises above the floor of silence');
  if (below < silentBelow || (Math.min(...rms) < silence && below < silentAndLow)) {
    const gap = Number.isFinite(below) ? `${(-below).toFixed(1)} dB below the other` : 'without any signal';
    return answer('one-silent', `the ${rms[0] < rms[1] ? 'first' : 'second'} channel is ${gap}`);
  }
  if (given.segments < fewSegments || !carries.includes(true) || judgedShare(given) < 0.5) {
    const [relation, because] = byCorrelation(given);
    return answer(relation, because);
  }
  const [relation, because, basis] = byBands(given, carries);
  return answer(relation, because, overallOf(basis, carries, given.segments));
}

/** Which bands take part: those that carry a hundredth of the power in both channels, or the one that holds the line. */
function carrying({ bands, line }: Judgement): boolean[] {
  return bands.map(({ from, to, share }) => (line === null ? share >= carriesFrom : from <= line && line < to));
}

type Verdict = [Relation, string, readonly BandOfPair[]];

function byBands(given: Judgement, carries: readonly boolean[]): Verdict {
  const { bands, aligned, delay, line } = given;
  const rho = judgedCorrelation(bands);
  const overall = overallOf(bands, carries, given.segments);
  const figures = `coherence ${overall.coherence.toFixed(3)}, correlation ${rho.toFixed(3)}`;
  const count = carries.filter(Boolean).length;
  const where =
    line !== null ? `at ${line.toFixed(0)} Hz` : count === 1 ? 'in its one band' : `in all of ${count} bands`;
  const one = coherent(bands, carries, overall, given.rms);
  const inPhase = one && within(bands, carries, 0);
  const opposed = one && within(bands, carries, Math.PI);
  const sure = beyondChance(rho, given.independent);
  if (inPhase && sure && rho >= correlatedFrom) return ['same', `${figures}, in phase ${where}`, bands];
  if (opposed && sure && rho <= -correlatedFrom && (line !== null || !contradicted(bands, Math.PI)))
    return ['antiphase', `${figures}, 180° ${where}`, bands];
  if (line !== null && overall.coherence >= coherentFrom) {
    const turn = `one line at ${line.toFixed(0)} Hz, turned by ${degrees(overall.phase).toFixed(1)}°`;
    return ['delayed', `${figures}; ${turn}: by how much in time it cannot tell`, bands];
  }
  const lined = aligned && overallOf(aligned, carries, given.segments);
  if (aligned && lined && delay && delay.inverted !== null && Math.abs(delay.seconds) > 3 * delay.sd) {
    const polarity = delay.inverted ? Math.PI : 0;
    const alike = coherent(aligned, carries, lined, given.rms) && within(aligned, carries, polarity);
    // What is in line without being shifted is not late.
    if (alike && !inPhase && !opposed && !contradicted(aligned, polarity)) {
      const time = `${(delay.seconds * 1e6).toFixed(1)} µs${delay.inverted ? ', and inverted' : ''}`;
      const found = `coherence ${lined.coherence.toFixed(3)} once aligned; the second lags by ${time}`;
      return ['delayed', found, aligned];
    }
  }
  const common = unbiasedCoherence(Math.max(overall.coherence, lined?.coherence ?? 0), given.segments);
  const chance = bands.every((band, i) => !carries[i] || band.coherence <= band.threshold);
  const sd = 1 / Math.sqrt(given.independent);
  if (Math.abs(rho) <= 3.3 * sd && chance) return ['unrelated', `${figures}: no more than chance gives`, bands];
  if (common < unrelatedBelow && rho * rho < unrelatedBelow / 2)
    return ['unrelated', `${figures}: less than a fifth in common`, bands];
  return ['partly', `${figures}: related, but not one signal`, bands];
}

/** Where spectra cannot speak (too short, too few cycles, one burst), correlation alone, held to a stricter figure. */
function byCorrelation({ correlation, independent }: Judgement): [Relation, string] {
  const rho = correlation ?? 0;
  const figures = `correlation ${rho.toFixed(3)} alone: too few cycles, or one burst, for coherence`;
  if (rho >= byCorrelationAlone) return ['same', figures];
  if (rho <= -byCorrelationAlone) return ['antiphase', figures];
  if (independent >= 20 && Math.abs(rho) <= 3.3 / Math.sqrt(independent)) return ['unrelated', figures];
  return ['partly', figures];
}

function overallOf(bands: readonly BandOfPair[], carries: readonly boolean[], segments: number): Overall {
  let weight = 0;
  let coherence = 0;
  let re = 0;
  let im = 0;
  bands.forEach((band, i) => {
    if (!carries[i]) return;
    const power = Math.sqrt(band.power[0] * band.power[1]);
    weight += power;
    coherence += power * band.coherence;
    re += band.cross[0];
    im += band.cross[1];
  });
  const mean = weight > 0 ? coherence / weight : 0;
  return { coherence: mean, phase: Math.atan2(im, re), phaseSd: phaseDeviation(mean, segments) };
}

/** The quieter channel against the louder, dB. */
function balanceOf(rms: Judgement['rms']): number {
  const loud = Math.max(...rms);
  return loud > 0 ? 20 * Math.log10(Math.min(...rms) / loud) : 0;
}

/**
 * Whether every band that carries energy coheres. The weak ones need not where all together do all the better: hiss is flat and
 * programme is not, so noise 20 dB below it drowns its top octaves first.
 */
function coherent(
  bands: readonly BandOfPair[],
  carries: readonly boolean[],
  { coherence }: Overall,
  rms: Judgement['rms'],
) {
  const hissy = coherence >= allCoherentFrom && balanceOf(rms) > comparable;
  return (
    coherence >= coherentFrom &&
    bands.every((band, i) => !carries[i] || band.coherence >= coherentFrom || (hissy && band.share < weakBelow))
  );
}

/** Whether every band that carries energy, and shows more than chance, lies at a phase. */
const within = (bands: readonly BandOfPair[], carries: readonly boolean[], phase: number) =>
  bands.every(
    (band, i) => !carries[i] || band.coherence <= band.threshold || Math.abs(wrap(band.phase - phase)) <= phaseWithin,
  );

/**
 * A weak band, −20 to −40 dB, that plainly coheres at another phase speaks against one wire's inversion or delay: those turn
 * everything alike. A few lines do not: hum gets in by ways of its own.
 */
const contradicted = (bands: readonly BandOfPair[], expected: number) =>
  bands.some(
    ({ share, coherence, threshold, bins, phase }) =>
      share >= carriesFrom / 100 &&
      bins >= broadFrom &&
      coherence > Math.max(threshold, speaksFrom) &&
      Math.abs(wrap(phase - expected)) > Math.PI / 3,
  );

/** Whether the correlation stays beyond ±0.8 three deviations towards zero, by Fisher's transform. */
function beyondChance(rho: number, independent: number): boolean {
  const z = Math.atanh(Math.min(Math.abs(rho), 1 - 1e-15));
  return Math.tanh(z - 3 / Math.sqrt(Math.max(1, independent))) >= 0.8;
}

/** Correlation over the judged bands: drift and rumble below them do not count. */
function judgedCorrelation(bands: readonly BandOfPair[]): number {
  let x = 0;
  let y = 0;
  let re = 0;
  for (const band of bands) {
    x += band.power[0];
    y += band.power[1];
    re += band.cross[0];
  }
  return x > 0 && y > 0 ? re / Math.sqrt(x * y) : 0;
}

/** The share of the power that lies in the judged bands, in the channel that has less of it there. */
function judgedShare({ bands, rms }: Judgement): number {
  return Math.min(...[0, 1].map((c) => bands.reduce((sum, band) => sum + band.power[c]!, 0) / rms[c]! ** 2));
}
