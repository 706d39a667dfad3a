/**
 * The sync chirp: a linear sweep, long and wide enough to be found in noise louder than itself, and to time it to a microsecond;
 * above hum, and below where any recorder or lossy coder thins out.
 */
export const chirp = { low: 250, high: 5500, seconds: 0.25, fade: 0.01 } as const;

/** Raised-cosine rise and fall of `fade` seconds at both ends of a part `seconds` long, at `t` seconds from its start. */
export function fadeAt(t: number, seconds: number, fade: number): number {
  const edge = Math.min(t, seconds - t);
  if (edge <= 0) return 0;
  return edge >= fade ? 1 : 0.5 - 0.5 * Math.cos((Math.PI * edge) / fade);
}

/** Phase in radians of the chirp at `t` seconds from its start; falling is rising played backwards. */
export function chirpPhase(t: number, rising: boolean): number {
  const { low, high, seconds } = chirp;
  const from = rising ? low : high;
  const slope = ((rising ? high - low : low - high) / seconds) * t;
  return 2 * Math.PI * t * (from + slope / 2);
}

/** The chirp of amplitude 1 at `t` seconds from its start, 0 outside. */
export const chirpAt = (t: number, rising: boolean): number =>
  fadeAt(t, chirp.seconds, chirp.fade) * Math.sin(chirpPhase(t, rising));

/** RMS width of its spectrum about the middle, Hz: that of a flat band. */
export const chirpWidth = (chirp.high - chirp.low) / Math.sqrt(12);

/** Whole samples of it at a rate. */
export const chirpLength = (rate: number, stretch = 1): number => Math.floor(chirp.seconds * stretch * rate);

/**
 * The chirp as a recorder whose clock runs `stretch` times the player's would hold it, analytic (cosine and sine), sampled at
 * `rate` from its start on.
 */
export function chirpTemplate(rate: number, rising: boolean, stretch = 1): { re: Float64Array; im: Float64Array } {
  const length = chirpLength(rate, stretch);
  const re = new Float64Array(length);
  const im = new Float64Array(length);
  for (let n = 0; n < length; n++) {
    const t = n / rate / stretch;
    const envelope = fadeAt(t, chirp.seconds, chirp.fade);
    const phase = chirpPhase(t, rising);
    re[n] = envelope * Math.cos(phase);
    im[n] = envelope * Math.sin(phase);
  }
  return { re, im };
}
