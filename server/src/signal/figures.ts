import type { StereoTable } from './stereo-table';

/**
 * What a recording is measured into: plain data, fit to be sent between threads and written as JSON.
 *
 * Units throughout: levels are in volts where the channel is scaled, else in fractions of digital full scale (peak); ratios in
 * dB; a full-scale sine is 0 dBFS (AES17), so a full-scale square reads +3.01 dBFS; times in seconds, frequencies in Hz, phases
 * in degrees within (−180, 180]. What does not apply, or what the recording cannot carry, is null.
 */

/** What was being played while the recording was made. */
export interface Stimulus {
  readonly kind: 'silence' | 'programme' | 'sweep' | 'tone' | 'noise' | 'all-in-one';
  /** Frequency of the tone in Hz. */
  readonly tone?: number;
  readonly side?: 'left' | 'right' | 'both' | 'opposed' | 'unlike';
  /** Level of what was played, as a fraction of full scale in dB (dBFS, AES17), where it is known. */
  readonly level?: number;
}

/** Something about the recording itself that bears on its figures. */
export interface Warning {
  readonly what:
    | 'truncated'
    | 'uneven'
    | 'clipped'
    | 'too-short'
    | 'too-slow'
    | 'unscaled'
    | 'few-levels'
    | 'gaps'
    | 'no-rate'
    | 'no-sequence'
    | 'not-steady'
    | 'header';
  readonly text: string;
}

/** Part of a recording, in seconds from its start and in frames. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly frames: number;
}

/**
 * A sine fitted by least squares (IEEE 1057), together with its harmonics where it dominates:
 * `amplitude · sin(2π·frequency·t + phase)`, t = 0 at the stretch's first frame.
 */
export interface ToneFigures {
  readonly frequency: number;
  /** Peak. */
  readonly amplitude: number;
  /** Degrees, sine form. */
  readonly phase: number;
  /** RMS of everything but the sine and DC. */
  readonly residual: number;
  /** True where the frequency was fitted too (4 parameters); false where it is another channel's (3 parameters). */
  readonly free: boolean;
  readonly sd: { readonly frequency: number; readonly amplitude: number; readonly phase: number };
}

/** Lines at whole multiples of one frequency, three or more of them. */
export interface CombFigures {
  /** Fundamental in Hz and its 95 % confidence interval. */
  readonly fundamental: number;
  readonly interval: readonly [number, number];
  /** Which multiples were found. */
  readonly lines: readonly number[];
  /** RMS of the comb's lines together. */
  readonly rms: number;
  /** Every source that makes such a comb; more than one is ambiguous. Empty: none known. */
  readonly names: readonly string[];
  readonly ambiguous: boolean;
}

/** A single line that stands out of the noise and belongs to no comb. */
export interface SpurFigures {
  readonly frequency: number;
  readonly rms: number;
  /** dB relative to the tone, without one to full scale. */
  readonly level: number;
  /** A hint at what makes a line there, never a finding by itself. */
  readonly hint: string | null;
}

export interface NoiseFigures {
  /** 20 Hz–20 kHz (or as far as the rate reaches), in dBV where scaled, else dBFS. */
  readonly flat: number;
  /** The same, A-weighted (IEC 61672-1). */
  readonly A: number;
  /** CCIR-weighted RMS (AES17): the curve of ITU-R BS.468-4 with 0 dB at 2 kHz, RMS; not a quasi-peak reading. */
  readonly ccirRms: number;
  /**
   * What a noise meter to ITU-R BS.468-4 reads (weighted, 0 dB at 1 kHz, quasi-peak): the highest it reaches, and the median of
   * its readings. Null where the recording is too short for the meter to settle.
   */
  readonly bs468: { readonly highest: number; readonly typical: number } | null;
  /** Upper edge really measured, Hz. */
  readonly upTo: number;
  /** What the noise was taken from: the whole recording, or what the fitted tone and its harmonics leave. */
  readonly from: 'recording' | 'residual';
}

export interface ChannelFigures {
  readonly name: string;
  readonly unit: 'V' | 'FS' | 'A';
  readonly dc: number;
  /** Without DC. */
  readonly rms: number;
  /** Largest magnitude, DC included. */
  readonly peak: number;
  readonly min: number;
  readonly max: number;
  /** Largest deviation from DC over RMS, dB; null in silence. */
  readonly crest: number | null;
  /** Runs of three or more frames at the format's rails; null where the rails are unknown. */
  readonly clipped: number | null;
  /** `rms` in dBFS (unscaled), dBV and dBu (scaled); null where not applicable or silent. */
  readonly level: { readonly dbfs: number | null; readonly dbv: number | null; readonly dbu: number | null };
  readonly tone: ToneFigures | null;
  /** Harmonics 2 … `harmonics` over the fundamental (THD_F), dB. */
  readonly thd: number | null;
  /** The highest harmonic counted, limited by half the sampling rate. */
  readonly harmonics: number | null;
  /** Level of each harmonic from the 2nd on, dB relative to the fundamental. */
  readonly harmonicLevels: readonly number[];
  /** All but the fundamental and DC over the whole signal, dB: over the whole bandwidth, and 20 Hz–20 kHz (AES17). */
  readonly thdn: number | null;
  readonly thdnAudio: number | null;
  readonly sinad: number | null;
  /** Fundamental over what neither it nor its counted harmonics explain, dB. */
  readonly snr: number | null;
  /** log2(full range / (residual·√12)), IEEE 1241; null where full scale is unknown. */
  readonly enob: number | null;
  /** Share of the tone stretch within 2 % of its extremes: 0.1275 for a pure sine, more where it is flat-topped. */
  readonly flatTop: number | null;
  readonly noise: NoiseFigures | null;
  /** dB of mains hum and ripple together, relative to the tone, without one to a full-scale sine (1 V RMS where that is unknown). */
  readonly hum: number | null;
  readonly combs: readonly CombFigures[];
  readonly spurs: readonly SpurFigures[];
  readonly sd: { readonly dc: number | null; readonly rms: number | null; readonly thd: number | null };
}

export type Relation = 'same' | 'antiphase' | 'unrelated' | 'partly' | 'delayed' | 'one-silent' | 'both-silent';

/** How two channels stand to each other inside one band. */
export interface BandFigures {
  readonly from: number;
  readonly to: number;
  /** RMS of the first and the second channel in the band. */
  readonly rms: readonly [number, number];
  /** Magnitude-squared coherence, and the value chance alone exceeds once in a thousand. */
  readonly coherence: number;
  readonly threshold: number;
  /** Second against first. */
  readonly phase: number;
  readonly phaseSd: number | null;
  /** True where the band carries energy in both channels: only those decide the relation. */
  readonly carries: boolean;
}

export interface PairFigures {
  readonly channels: readonly [string, string];
  readonly relation: Relation;
  /** Why, in words with the figures that decided. */
  readonly because: string;
  readonly correlation: number | null;
  readonly correlationSd: number | null;
  /** Magnitude-squared, averaged over the bands that carry energy, weighted by power. */
  readonly coherence: number | null;
  /** Second against first: at the tone by sine fit, without a tone weighted over the bands that carry energy. */
  readonly phase: number | null;
  readonly phaseSd: number | null;
  /** Second relative to first, dB. */
  readonly balance: number | null;
  readonly balanceSd: number | null;
  /** Second behind first, s; null where the stimulus cannot tell (a single tone) or there is none to speak of. */
  readonly delay: number | null;
  readonly delaySd: number | null;
  /** RMS of (first + second)/2 and (first − second)/2, without DC. */
  readonly mid: number;
  readonly side: number;
  /**
   * How far the undriven channel lies below the driven one at the stimulus frequency, dB, both ways; null where the stimulus
   * drives no single side. `floor` is true where it is a lower bound: the undriven channel shows nothing but noise there.
   */
  readonly separation: {
    readonly firstDriven: number | null;
    readonly secondDriven: number | null;
    readonly floor: boolean;
  } | null;
  /** What leaks: its phase against the driven channel (degrees), its sign, and its slope over frequency (dB per decade). */
  readonly crosstalk: {
    readonly phase: number;
    /** The quadrant of its phase: a resistance keeps or inverts the sign, a capacitance turns it by a quarter. */
    readonly sign: 'in-phase' | 'inverted' | 'leading' | 'lagging';
    readonly slope: number | null;
  } | null;
  readonly bands: readonly BandFigures[];
  /** What this stimulus can and cannot tell apart, in words. */
  readonly tells: { readonly can: readonly string[]; readonly cannot: readonly string[] };
}

/** One segment of the all-in-one recording, cut out and measured like a recording of its own. */
export interface SegmentFigures {
  readonly name: string;
  readonly stimulus: Stimulus;
  readonly stretch: Stretch;
  readonly channels: readonly ChannelFigures[];
  readonly pair: PairFigures | null;
}

/** The all-in-one recording, found and cut. */
export interface SequenceFigures {
  /** Where it starts, s; negative where the capture began later. */
  readonly start: number;
  /** Recorder's clock against the player's, parts per million: positive where the capture came out longer. Null with sync at one end only. */
  readonly drift: number | null;
  readonly driftSd: number | null;
  readonly segments: readonly SegmentFigures[];
  /** Every stereo figure of the take in one table; null for a single channel, or where no tone is there. */
  readonly table: StereoTable | null;
}

export interface RecordingFigures {
  readonly format: string;
  readonly rate: number;
  readonly frames: number;
  readonly duration: number;
  /** The conventions the figures follow, one sentence. */
  readonly convention: string;
  readonly stimulus: Stimulus | null;
  readonly coupling: 'ac' | 'dc';
  readonly channels: readonly ChannelFigures[];
  readonly pairs: readonly PairFigures[];
  /** Where the tone figures came from, with the sentence that says so; null without a tone. */
  readonly stretch: (Stretch & { readonly text: string }) | null;
  readonly sequence: SequenceFigures | null;
  readonly warnings: readonly Warning[];
}
