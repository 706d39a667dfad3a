/**
 * Odds of each cause against a board that is as designed, before anything is measured. Common practice, no source: how often a
 * bench meets each, to within a factor of a few. Where there is one for every part, pin or value, they are for each.
 */
export const odds = {
  'output-mode': 0.1,
  /** The contract: at least a tenth of `output-mode`. */
  'polarity-reversed': 0.02,
  'sides-exchanged': 0.03,
  /** A pair of leads at one connector. */
  'exchanged-leads': 0.02,
  'mono-summed': 0.02,
  'side-dead': 0.03,
  'return-open': 0.03,
  'common-return': 0.02,
  leakage: 0.01,
  delayed: 0.005,
  echo: 0.002,
  'one-sided-source': 0.015,
  'supply-missing': 0.02,
  'held-off': 0.015,
  /** A pair of neighbouring pins; two contacts of one connector. */
  bridge: 0.004,
  /** Two nets that a meter has found joined where they should not be. */
  'met-contact': 0.02,
  /** A part. */
  open: 0.008,
  'open-contact': 0.01,
  'open-diode': 0.003,
  'short-diode': 0.003,
  'reversed-diode': 0.002,
  crystal: 0.01,
  /** A gang of a potentiometer, whose wiper wears. */
  wiper: 0.015,
  /** A section of an amplifier chip. */
  'dead-section': 0.008,
  'short-resistor': 0.0005,
  'short-capacitor': 0.004,
  /** An electrolytic: with age its dielectric leaks, more often than a resistor is another. */
  'leaky-electrolytic': 0.008,
  /** A value it might be instead. */
  'wrong-value': 0.001,
  'confused-value': 0.002,
  /** Any other value: drifted, or another of the series. */
  'other-value': 0.002,
  /** An electrolytic; another capacitor. */
  'aged-electrolytic': 0.012,
  'aged-other': 0.002,
  /** A capture. */
  'misprobed-exchanged': 0.01,
  'misprobed-scale': 0.004,
  /** All captures at once: the volume at the source, or a scale, is not what is written. */
  'misprobed-loudness': 0.03,
  /** Nothing was played, or the recorder listened elsewhere. */
  'misprobed-silent': 0.01,
  /** What no hypothesis covers. */
  unexplained: 0.02,
} as const;

/** How much likelier hum makes an open return, and ripple a spent reservoir. */
export const humFactor = 6;

/** Copper that is only assumed is that much likelier to be wrong. */
export const assumedFactor = 6;

/** A second fault on the same board: what its odds are multiplied by, beyond their own. */
export const secondFault = 0.5;

/** Probability that one measurement is simply wrong (a slipped probe, a wrong range). */
export const badReading = 0.004;

/**
 * What the comparison is never finer than. The model's error, not noise, decides: 0.2 dB and 1°; part tolerances, chip level and
 * the recorder's scale are shared by everything they touch.
 */
export const floors = {
  /** Relative, along and across a phasor: 0.2 dB, 1°. */
  along: 0.0233,
  across: 0.01745,
  /** What a channel picks up from its neighbour and from noise, as a share of the loudest, and in V or of full scale. */
  crosstalk: 4e-4,
  quiet: 2e-4,
  /** ln of a recorder's stated scale: 0.3 dB. */
  scale: 0.035,
  /** ln of a loudness nobody has stated: 20 dB. */
  unknownGain: 2.3,
  /** ln of a chip's level: ±1 dB common, ±0.3 dB between its outputs, evenly spread: 1/√3 of it, and a further 1/√2 for each of two. */
  chip: 0.0665,
  output: 0.0141,
  correlation: 0.03,
  /** Of a correlation under programme, beyond what programme may do. */
  programme: 0.06,
  delay: 3e-5,
  /** Share by which a broadband level may differ from that at a few frequencies. */
  broadband: 0.05,
  /** Share by which the level of an octave may differ from that at its middle, and the played spectrum from what is written. */
  octave: 0.07,
  /** DC: of the value, in V, and of each source's volts; of a cell's. */
  dc: 0.01,
  dcVolts: 0.01,
  rail: 0.03,
  cell: 0.08,
  /** Of a recording's DC: what a recorder's own offset may be, as a share of the largest it shows. */
  recorderOffset: 0.02,
  /** DC of an output whose bias nobody states, V; forward volts of a diode, which its type and its current move. */
  unknownBias: 2.5,
  drop: 0.1,
  /** Diode range: V, and of the drop, whatever its type. */
  diodeVolts: 0.03,
  diodeShare: 0.22,
  /** ln of a capacitance read in circuit, and where a chip hangs on either point; of a series resistance. */
  farads: 0.08,
  faradsAtChip: 0.4,
  esr: 0.7,
  /** ln of a current: of chips, of which nobody says what they take; of one that is dead; of a short. */
  amps: 1.7,
  ampsDead: 1.5,
  ampsShort: 1.2,
  /** That a clock is seen to run without a crystal, and without a supply. */
  deadClock: 0.01,
  unpoweredClock: 0.1,
  /** Ω: relative, where a chip hangs on either point, and of contacts and leads even when zeroed. */
  ohms: 0.02,
  ohmsAtChip: 0.3,
  contact: 0.15,
} as const;

/** Ω beyond which a meter shows nothing more. Common practice, no source. */
export const overRange = 2e7;

/**
 * Relative tolerance of a kind where the part states none: R 5 %, C 20 %, L 20 %. A loudspeaker may lie 20 % below its rated ohms
 * (IEC 60268-5; from memory), and does so at DC.
 */
export const tolerances: Readonly<Record<string, number>> = {
  resistor: 0.05,
  capacitor: 0.2,
  inductor: 0.2,
  load: 0.2,
};
