import { chirpLeaks } from './chirp-leaks';
import { findEcho } from './echo';
import { caseWords, mixes, type OutputCase } from './output-cases';
import { type Leak, leakAt, leakCurve } from './separation';
import { type PartName, tones } from './sequence';
import { cut, type FoundPart, type FoundSequence } from './sequence-finder';
import { rmsOf } from './sines';
import { magnitude, noiseRow, type PartTone, partTone, toneRow } from './stereo-rows';
import type { Crosstalk, StereoRow, StereoTable } from './stereo-table';

const db = (ratio: number) => 20 * Math.log10(ratio);

/**
 * Every stereo figure from one take, found in a capture of two channels. Null where not even one tone is there.
 *
 * @param step of the recorder in the samples' unit: bounds go no lower than half of it. 0: none known.
 */
export function stereoTable(
  sequence: FoundSequence,
  channels: readonly Float64Array[],
  rate: number,
  step = 0,
): StereoTable | null {
  const part = (name: PartName) => sequence.parts.find((one) => one.name === name);
  const stretch = 1 + (sequence.drift ?? 0) * 1e-6;
  const tone = (name: PartName, frequency: number) => {
    const found = part(name);
    return found ? partTone(channels, found, (2 * Math.PI * frequency) / (rate * stretch)) : null;
  };
  const left = tone('left', tones.main);
  const right = tone('right', tones.main);
  const both = tone('both', tones.main);
  const all = [left, right, both, tone('opposed', tones.main)];
  const low = [tone('low-left', tones.low), tone('low-right', tones.low)] as const;
  const loudest = (one: PartTone | null) => (one ? Math.max(magnitude(one, 0), magnitude(one, 1)) : 0);
  const peak = Math.max(loudest(left), loudest(right)) || Math.max(...all.map(loudest));
  if (!(peak > 0)) return null;
  const reference = peak / Math.SQRT2;
  const quiet = part('silence');
  const noise = quiet ? (cut(channels, quiet).map(acRms) as [number, number]) : null;
  const rows = [...all, ...low].flatMap((one) => (one ? [toneRow(one, rate, reference, step)] : []));
  const unlike = part('unlike');
  if (unlike) rows.push(noiseRow(channels, unlike, rate, reference, noise ?? [0, 0]));
  const crosstalk = (side: 'left' | 'right', main: PartTone | null) =>
    main && loudest(main) > peak / 30 ? crosstalkOf(side, main, { sequence, channels, rate, stretch, step }) : null;
  const leftDriven = crosstalk('left', left);
  const rightDriven = crosstalk('right', right);
  const balance = leftDriven && rightDriven && left && right ? sidesApart(left, right) : null;
  const row = rows.find((one) => one.part === 'both');
  const loss = (main: PartTone | null, one: PartTone | null, driven: Crosstalk | null) =>
    main && one && driven && one.heard[driven.channel]
      ? db(magnitude(one, driven.channel) / magnitude(main, driven.channel))
      : null;
  const table = {
    reference,
    rows,
    leftDriven,
    rightDriven,
    balance: balance?.value ?? null,
    balanceSd: balance?.sd ?? null,
    polarity: polarityOf(row),
    lowLeft: loss(left, low[0], leftDriven),
    lowRight: loss(right, low[1], rightDriven),
    rightLate: sequence.rightLate,
    rightLateSd: sequence.rightLateSd,
    echo: findEcho(channels, sequence.parts, rate, stretch),
    noise,
  };
  return { ...table, ...verdict(left, right, table) };
}

/** RMS of the samples less their mean. */
function acRms(samples: Float64Array): number {
  const mean = samples.reduce((sum, value) => sum + value, 0) / Math.max(1, samples.length);
  return rmsOf(samples.map((value) => value - mean));
}

/** Right over left, each where it is louder. */
function sidesApart(left: PartTone, right: PartTone) {
  const at = (one: PartTone) => (magnitude(one, 0) >= magnitude(one, 1) ? 0 : 1);
  const [a, b] = [at(left), at(right)] as const;
  const spread = Math.hypot(left.sd[a] / magnitude(left, a), right.sd[b] / magnitude(right, b));
  return { value: db(magnitude(right, b) / magnitude(left, a)), sd: (20 / Math.LN10) * spread };
}

const polarityOf = (row: StereoRow | undefined): StereoTable['polarity'] =>
  row?.relation === 'same' ? 'same' : row?.relation === 'antiphase' ? 'opposed' : null;

interface Take {
  readonly sequence: FoundSequence;
  readonly channels: readonly Float64Array[];
  readonly rate: number;
  readonly stretch: number;
  readonly step: number;
}

function crosstalkOf(side: 'left' | 'right', main: PartTone, take: Take): Crosstalk {
  const { sequence, channels, rate, stretch, step } = take;
  const channel = magnitude(main, 0) >= magnitude(main, 1) ? 0 : 1;
  const ordered = (part: FoundPart) => {
    const samples = cut(channels, part);
    return [samples[channel]!, samples[1 - channel]!] as const;
  };
  const named = (name: PartName) => sequence.parts.filter((part) => part.name === name);
  const at = (name: PartName, frequency: number): Leak[] =>
    named(name).flatMap((part) => leakAt(...ordered(part), rate, frequency / stretch, step) ?? []);
  const [own] = at(side, tones.main);
  const sweeps = [...named(`open-${side}`), ...named(`close-${side}`)].map(ordered);
  const points = [...at(`low-${side}`, tones.low), ...(own ? [own] : []), ...chirpLeaks(sweeps, rate, step)];
  const curve = leakCurve(points);
  return {
    channel,
    separation: own ? -own.level : Number.NaN,
    floor: own?.floor ?? true,
    phase: own?.phase ?? null,
    sign: curve.sign,
    slope: curve.slope,
    slopeSd: curve.slopeSd,
    // What is nearly as loud as its source is no leak but the same signal.
    path: own && own.level < -10 ? curve.path : null,
    points,
  };
}

/** Share of power by which a mix may miss a case: 3 dB of imbalance is 0.03. */
const tolerance = 0.05;
/** Crosstalk louder than this is a fault of its own, dB; lateness, s. Common practice, no source. */
const audible = -50;
const late = 30e-6;

/** Cases told by how left and right are mixed into the two channels. */
const mixed: readonly OutputCase[] = [
  'as-designed',
  'polarity-reversed',
  'sides-exchanged',
  'differential',
  'mono-summed',
  'return-open',
  'differential-of-left',
  'differential-of-right',
  'left-dead',
  'right-dead',
];

type Found = Pick<StereoTable, 'found' | 'because'>;

/** Compares the mix measured, as complex numbers up to one common factor, with that of every case and of every case exchanged. */
function verdict(left: PartTone | null, right: PartTone | null, table: Omit<StereoTable, keyof Found>): Found {
  if (!left || !right) return { found: [], because: 'a side was not recorded alone' };
  const re = [left.re[0], right.re[0], left.re[1], right.re[1]];
  const im = [left.im[0], right.im[0], left.im[1], right.im[1]];
  const total = re.reduce((sum, value, i) => sum + value ** 2 + im[i]! ** 2, 0);
  const miss = ([a, b, c, d]: readonly number[]) => {
    const mix = [a!, b!, c!, d!];
    const own = mix.reduce((sum, value) => sum + value ** 2, 0);
    const along = Math.hypot(...[re, im].map((part) => part.reduce((sum, value, i) => sum + value * mix[i]!, 0)));
    return 1 - along ** 2 / (own * total);
  };
  const options = mixed.flatMap((name) => {
    const [a, b, c, d] = mixes[name];
    const exchanged: OutputCase[] = name === 'as-designed' ? [] : [name, 'sides-exchanged'];
    const plain = { found: [name], miss: miss([a, b, c, d]) };
    return exchanged.length && name !== 'sides-exchanged'
      ? [plain, { found: exchanged, miss: miss([c, d, a, b]) + 1e-9 }]
      : [plain];
  });
  const best = options.reduce((least, option) => (option.miss < least.miss ? option : least));
  const off = `${(100 * Math.max(0, best.miss)).toFixed(1)} % of the power is otherwise`;
  if (best.miss > tolerance) return { found: [], because: `fits no known output: even the nearest, ${off}` };
  const found = [...best.found, ...besides(table)].filter(
    (name, _, names) => names.length === 1 || name !== 'as-designed',
  );
  return {
    found,
    because: `left and right come out as of ${found.map((name) => caseWords[name]).join(', and ')} (${off})`,
  };
}

/** What else shows beside the mix: leaks, lateness and echoes. */
function besides({
  leftDriven,
  rightDriven,
  rightLate,
  rightLateSd,
  echo,
}: Omit<StereoTable, keyof Found>): OutputCase[] {
  const paths = [leftDriven, rightDriven].flatMap((one) =>
    one && !one.floor && one.separation < -audible ? [one.path] : [],
  );
  const found: OutputCase[] = [];
  if (paths.some((path) => path === 'common-return' || path === 'return-capacitor')) found.push('common-return');
  if (paths.some((path) => path === 'resistive' || path === 'capacitive')) found.push('leakage');
  if (rightLate !== null && Math.abs(rightLate) > Math.max(late, 4 * (rightLateSd ?? 0))) found.push('delayed');
  if (echo) found.push('echo');
  return found;
}
