import { solve, square } from './linear';

/** Least squares on sines of known frequency: the linear half of every sine fit. Works in chunks, without arrays of full length. */

/** `offset + Σ cosine[k]·cos(ω_k·m) + sine[k]·sin(ω_k·m)`, m counted from the middle of the record: m = n − (N−1)/2. */
export interface SineSum {
  readonly omegas: readonly number[];
  readonly offset: number;
  readonly cosine: readonly number[];
  readonly sine: readonly number[];
}

/** Samples that are made as they are needed. */
export interface Course {
  readonly length: number;
  /** Puts samples `from … from+length−1` into `out`; `length` is at most `chunk`. */
  fill(from: number, out: Float64Array, length: number): void;
}

/** Samples worked on at a time. */
const chunk = 4096;

/** The samples of an array. */
const courseOf = (samples: Float64Array | Course): Course =>
  samples instanceof Float64Array
    ? { length: samples.length, fill: (from, out, length) => out.set(samples.subarray(from, from + length)) }
    : samples;

/** Goes through a course in chunks; the array is reused. */
function forEachChunk(course: Course, visit: (samples: Float64Array, from: number, length: number) => void): void {
  const samples = new Float64Array(Math.min(chunk, course.length));
  for (let from = 0; from < course.length; from += chunk) {
    const length = Math.min(chunk, course.length - from);
    course.fill(from, samples, length);
    visit(samples, from, length);
  }
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
export function fitSines(samples: Float64Array | Course, omegas: readonly number[]): SineSum | null {
  const course = courseOf(samples);
  const frames = course.length;
  const count = omegas.length;
  if (frames < 2 * count + 1) return null;
  const even = new Float64Array(count + 1);
  const odd = new Float64Array(count);
  const cos = new Float64Array(chunk);
  const sin = new Float64Array(chunk);
  forEachChunk(course, (x, from, length) => {
    let sum = 0;
    for (let i = 0; i < length; i++) sum += x[i]!;
    even[0]! += sum;
    for (let k = 0; k < count; k++) {
      phases(omegas[k]!, from, frames, cos, sin, length);
      let c = 0;
      let s = 0;
      for (let i = 0; i < length; i++) {
        c += x[i]! * cos[i]!;
        s += x[i]! * sin[i]!;
      }
      even[k + 1]! += c;
      odd[k]! += s;
    }
  });
  const all = [0, ...omegas];
  const dot = (j: number, k: number, sign: 1 | -1) =>
    (kernel(all[j]! - all[k]!, frames) + sign * kernel(all[j]! + all[k]!, frames)) / 2;
  const evenDots = square(count + 1, (j, k) => dot(j, k, 1));
  const oddDots = square(count, (j, k) => dot(j + 1, k + 1, -1));
  const evens = solve(evenDots, even);
  const odds = solve(oddDots, odd);
  if (evens === null || odds === null) return null;
  return { omegas, offset: evens[0]!, cosine: [...evens.subarray(1)], sine: [...odds] };
}

/** What a sum leaves of the samples. */
export function withoutSines(samples: Float64Array | Course, sum: SineSum): Course {
  const course = courseOf(samples);
  const cos = new Float64Array(chunk);
  const sin = new Float64Array(chunk);
  return {
    length: course.length,
    fill(from, out, length) {
      course.fill(from, out, length);
      for (let i = 0; i < length; i++) out[i]! -= sum.offset;
      sum.omegas.forEach((omega, k) => {
        phases(omega, from, course.length, cos, sin, length);
        const a = sum.cosine[k]!;
        const b = sum.sine[k]!;
        for (let i = 0; i < length; i++) out[i]! -= a * cos[i]! + b * sin[i]!;
      });
    },
  };
}

/** The derivative of a sum of sines by the frequency they are `multiples` of. */
function slopeOf({ omegas, cosine, sine }: SineSum, multiples: readonly number[], frames: number): Course {
  const cos = new Float64Array(chunk);
  const sin = new Float64Array(chunk);
  return {
    length: frames,
    fill(from, out, length) {
      const start = from - (frames - 1) / 2;
      out.fill(0, 0, length);
      omegas.forEach((omega, k) => {
        phases(omega, from, frames, cos, sin, length);
        const a = cosine[k]! * multiples[k]!;
        const b = sine[k]! * multiples[k]!;
        for (let i = 0; i < length; i++) out[i]! += (start + i) * (b * cos[i]! - a * sin[i]!);
      });
    },
  };
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
  const left = withoutSines(samples, sum);
  const residual = new Float64Array(chunk);
  let across = 0;
  let along = 0;
  forEachChunk(withoutSines(slope, share), (own, from, length) => {
    left.fill(from, residual, length);
    for (let i = 0; i < length; i++) {
      across += residual[i]! * own[i]!;
      along += own[i]! * own[i]!;
    }
  });
  return along > 0 ? across / along : null;
}

/** Root mean square; 0 for nothing. */
export function rmsOf(samples: Float64Array | Course): number {
  const course = courseOf(samples);
  let sum = 0;
  forEachChunk(course, (x, _, length) => {
    for (let i = 0; i < length; i++) sum += x[i]! * x[i]!;
  });
  return course.length === 0 ? 0 : Math.sqrt(sum / course.length);
}

/** All samples of a course in one array. */
export function gathered(course: Course): Float64Array {
  const out = new Float64Array(course.length);
  forEachChunk(course, (x, from, length) => out.set(x.subarray(0, length), from));
  return out;
}
