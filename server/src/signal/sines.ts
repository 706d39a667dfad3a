/** Least squares on sines of known frequency: the linear half of every sine fit. */

/** `offset + Σ cosine[k]·cos(ω_k·m) + sine[k]·sin(ω_k·m)`, m counted from the middle of the record: m = n − (N−1)/2. */
export interface SineSum {
  readonly omegas: readonly number[];
  readonly offset: number;
  readonly cosine: readonly number[];
  readonly sine: readonly number[];
}

/** Samples between exact evaluations; in between, angles are added from a table, so that no error builds up. */
const run = 128;

/** Fills `cos` and `sin` with cos(ω·m) and sin(ω·m) at samples `from … from+length−1`, m counted from the middle of `frames`. */
function phases(omega: number, from: number, frames: number, cos: Float64Array, sin: Float64Array, length: number) {
  const middle = (frames - 1) / 2;
  const tableCos = new Float64Array(Math.min(run, length));
  const tableSin = new Float64Array(tableCos.length);
  for (let k = 0; k < tableCos.length; k++) {
    tableCos[k] = Math.cos(omega * k);
    tableSin[k] = Math.sin(omega * k);
  }
  for (let start = 0; start < length; start += run) {
    const angle = omega * (from + start - middle);
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const end = Math.min(run, length - start);
    for (let k = 0; k < end; k++) {
      cos[start + k] = c * tableCos[k]! - s * tableSin[k]!;
      sin[start + k] = s * tableCos[k]! + c * tableSin[k]!;
    }
  }
}

/** Samples worked on at a time. */
const chunk = 4096;

/** Σ cos(a·m) over the N samples counted from the middle: the Dirichlet kernel sin(aN/2)/sin(a/2). */
function kernel(a: number, frames: number): number {
  const half = Math.sin(a / 2);
  return Math.abs(half) < 1e-12 ? frames : Math.sin((a * frames) / 2) / half;
}

/**
 * Fits an offset and a cosine and sine at each angular frequency (radians a sample, all different, within (0, π)) by least
 * squares. Counted from the middle of the record the sines separate from offset and cosines, and the products of the columns
 * have closed forms; only the correlations with the samples need a pass over them. With one frequency: the 3-parameter fit of
 * IEEE 1057. Null where the frequencies cannot be told apart over so few samples.
 */
export function fitSines(samples: Float64Array, omegas: readonly number[]): SineSum | null {
  const frames = samples.length;
  const count = omegas.length;
  if (frames < 2 * count + 1) return null;
  const even = new Float64Array(count + 1);
  const odd = new Float64Array(count);
  const cos = new Float64Array(chunk);
  const sin = new Float64Array(chunk);
  for (let from = 0; from < frames; from += chunk) {
    const length = Math.min(chunk, frames - from);
    let sum = 0;
    for (let i = 0; i < length; i++) sum += samples[from + i]!;
    even[0]! += sum;
    for (let k = 0; k < count; k++) {
      phases(omegas[k]!, from, frames, cos, sin, length);
      let c = 0;
      let s = 0;
      for (let i = 0; i < length; i++) {
        const x = samples[from + i]!;
        c += x * cos[i]!;
        s += x * sin[i]!;
      }
      even[k + 1]! += c;
      odd[k]! += s;
    }
  }
  const all = [0, ...omegas];
  const dot = (j: number, k: number, sign: 1 | -1) =>
    (kernel(all[j]! - all[k]!, frames) + sign * kernel(all[j]! + all[k]!, frames)) / 2;
  const evens = solve(
    square(count + 1, (j, k) => dot(j, k, 1)),
    even,
  );
  const odds = solve(
    square(count, (j, k) => dot(j + 1, k + 1, -1)),
    odd,
  );
  if (evens === null || odds === null) return null;
  return { omegas, offset: evens[0]!, cosine: [...evens.subarray(1)], sine: [...odds] };
}

/** What the sum leaves of the samples; `out` may be the samples themselves. */
export function subtractSines(
  samples: Float64Array,
  sum: SineSum,
  out: Float64Array = new Float64Array(samples.length),
): Float64Array {
  const frames = samples.length;
  const cos = new Float64Array(chunk);
  const sin = new Float64Array(chunk);
  for (let from = 0; from < frames; from += chunk) {
    const length = Math.min(chunk, frames - from);
    for (let i = from; i < from + length; i++) out[i] = samples[i]! - sum.offset;
    sum.omegas.forEach((omega, k) => {
      phases(omega, from, frames, cos, sin, length);
      const a = sum.cosine[k]!;
      const b = sum.sine[k]!;
      for (let i = 0; i < length; i++) out[from + i]! -= a * cos[i]! + b * sin[i]!;
    });
  }
  return out;
}

/**
 * One step of Gauss–Newton on the frequency ω of sines at whole multiples of it: the change of ω, from the residual against that
 * part of the model's slope by ω which neither offset nor amplitudes and phases can follow. Null where there is none.
 */
export function frequencyStep(samples: Float64Array, omega: number, multiples: readonly number[]): number | null {
  const omegas = multiples.map((multiple) => multiple * omega);
  const sum = fitSines(samples, omegas);
  if (sum === null) return null;
  const slope = slopeOf(sum, multiples, samples.length);
  const share = fitSines(slope, omegas);
  if (share === null) return null;
  const left = subtractSines(samples, sum);
  subtractSines(slope, share, slope);
  let across = 0;
  let along = 0;
  for (let i = 0; i < left.length; i++) {
    across += left[i]! * slope[i]!;
    along += slope[i]! * slope[i]!;
  }
  return along > 0 ? across / along : null;
}

/** The derivative of a sum of sines by the frequency they are multiples of. */
function slopeOf(sum: SineSum, multiples: readonly number[], frames: number): Float64Array {
  const out = new Float64Array(frames);
  const cos = new Float64Array(chunk);
  const sin = new Float64Array(chunk);
  for (let from = 0; from < frames; from += chunk) {
    const length = Math.min(chunk, frames - from);
    const start = from - (frames - 1) / 2;
    sum.omegas.forEach((omega, k) => {
      phases(omega, from, frames, cos, sin, length);
      const a = sum.cosine[k]! * multiples[k]!;
      const b = sum.sine[k]! * multiples[k]!;
      for (let i = 0; i < length; i++) out[from + i]! += (start + i) * (b * cos[i]! - a * sin[i]!);
    });
  }
  return out;
}

const square = (size: number, entry: (j: number, k: number) => number): Float64Array[] =>
  Array.from({ length: size }, (_, j) => Float64Array.from({ length: size }, (_, k) => entry(j, k)));

/** Solves a small system by elimination with pivoting, or null where it is singular to working precision. */
function solve(matrix: readonly Float64Array[], right: Float64Array): Float64Array | null {
  const n = right.length;
  const rows = matrix.map((row, j) => Float64Array.from([...row, right[j]!]));
  const scale = Math.max(...rows.flatMap((row) => [...row.subarray(0, n)].map(Math.abs)));
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let j = k + 1; j < n; j++) if (Math.abs(rows[j]![k]!) > Math.abs(rows[best]![k]!)) best = j;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    const pivot = rows[k]![k]!;
    if (!(Math.abs(pivot) > 1e-12 * scale)) return null;
    for (let j = k + 1; j < n; j++) {
      const factor = rows[j]![k]! / pivot;
      if (factor !== 0) for (let i = k; i <= n; i++) rows[j]![i]! -= factor * rows[k]![i]!;
    }
  }
  const out = new Float64Array(n);
  for (let j = n - 1; j >= 0; j--) {
    let sum = rows[j]![n]!;
    for (let i = j + 1; i < n; i++) sum -= rows[j]![i]! * out[i]!;
    out[j] = sum / rows[j]![j]!;
  }
  return out;
}
