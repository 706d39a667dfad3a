import { logSum, overLevels } from './density';
import { type Broken, type Fault, faultName } from './faults';
import { Quick } from './quick';
import { drawSpecimen, nominal } from './simulate';
import { apart } from './spread';
import { Draw, type World } from './world';

/**
 * The observer who knows everything but the fault: how often each is met, how parts and levels spread, the noise. It looks at many
 * specimens under every fault by the generator's own hand, and weighs each by how well it gives what was seen.
 */

/** A fault, or null for a healthy board. */
export type Suspect = Fault | null;

export interface Judged {
  readonly suspect: Suspect;
  readonly probability: number;
  /** Standard error of ln of its evidence, that of sampling. */
  readonly error: number;
  /** Of the specimens looked at, the form in that which gives best what was seen. */
  readonly form: Broken;
}

/** Specimens for a first look, and for those then within `near` (ln) of the likeliest; below the best by `hopeless` one counts nothing. */
const first = 150;
const near = 12;
const hopeless = 40;

/**
 * Posterior over healthy and every fault, likeliest first.
 * @param healthy the share of boards with no fault
 * @param draws specimens looked at for each suspect that may be it
 */
export function judge(
  world: World,
  faults: readonly Fault[],
  seen: Float64Array,
  volts: number,
  healthy: number,
  draws: number,
): Judged[] {
  const quick = new Quick(world);
  const total = faults.reduce((sum, { odds }) => sum + odds, 0);
  const prior = (suspect: Suspect) =>
    Math.log(suspect === null ? healthy : ((1 - healthy) * suspect.odds) / total) + supply(suspect, volts);
  const unseen = faults.filter((fault) => invisible(quick, fault));
  const visible = [null, ...faults.filter((fault) => !unseen.includes(fault))];
  const looks = new Map(visible.map((suspect) => [suspect, new Look(quick, seen, suspect)]));
  let best = Number.NEGATIVE_INFINITY;
  for (const [suspect, look] of looks) {
    look.more(first, best - prior(suspect));
    best = Math.max(best, prior(suspect) + look.log);
  }
  for (const [suspect, look] of looks)
    if (prior(suspect) + look.log > best - near) look.more(draws - first, best - prior(suspect));
  const plain = looks.get(null)!;
  const all = [
    ...[...looks].map(([suspect, look]) => ({ suspect, look, form: look.best })),
    ...unseen.map((suspect) => ({ suspect, look: plain, form: suspect.form(new Draw(1)) })),
  ].map(({ suspect, look, form }) => ({ suspect, form, error: look.error, log: prior(suspect) + look.log }));
  const sum = logSum(all.map(({ log }) => log));
  return all
    .map(({ suspect, form, error, log }) => ({ suspect, form, error, probability: Math.exp(log - sum) }))
    .sort((a, b) => b.probability - a.probability);
}

/** One reading off the meter, 1 % of a supply of 3.3 V: it is there or it is not. */
function supply(suspect: Suspect, volts: number): number {
  const unpowered = suspect?.form(new Draw(1)).unpowered === true;
  return unpowered === volts < 1 ? 0 : -200;
}

/** Specimens of one suspect looked at so far. */
class Look {
  private readonly logs: number[] = [];
  private top = Number.NEGATIVE_INFINITY;
  best: Broken = {};
  // Every suspect sees the same specimens: what they have in common drops out of the comparison.
  private readonly specimens = new Draw(77);
  private readonly forms = new Draw(78);

  constructor(
    private readonly quick: Quick,
    private readonly seen: Float64Array,
    private readonly suspect: Suspect,
  ) {}

  /** @param best ln of what the likeliest suspect has: what lies far below needs no exact answer */
  more(count: number, best: number): void {
    const { quick, seen, suspect } = this;
    for (let n = 0; n < count; n++) {
      const form = suspect === null ? {} : suspect.form(this.forms);
      const { parts, out } = drawSpecimen(quick.near, this.specimens);
      const [left, right] = quick.separately(parts, form);
      // What both sides share is integrated over; how far they differ is this specimen's own.
      const middle = Math.sqrt(out[0] * out[1]);
      const given = left.map((value, k) => (out[0] * value + out[1] * right[k]!) / middle);
      const log = overLevels(seen, given, this.specimens.number(), Math.max(this.top, best) - hopeless);
      this.logs.push(log);
      if (log > this.top) {
        this.top = log;
        this.best = form;
      }
    }
  }

  get log(): number {
    return logSum(this.logs) - Math.log(this.logs.length);
  }

  get error(): number {
    const shares = this.logs.map((log) => Math.exp(log - this.top));
    const mean = shares.reduce((sum, share) => sum + share, 0) / shares.length;
    const variance = shares.reduce((sum, share) => sum + (share - mean) ** 2, 0) / (shares.length - 1);
    return Math.sqrt(variance / shares.length) / mean;
  }
}

/** A fault that changes no probed figure by a ten-thousandth of the loudest. */
function invisible(quick: Quick, { form }: Fault): boolean {
  const draw = new Draw(5);
  const plain = quick.simulate(nominal, {});
  const most = Math.max(...plain.map(Math.abs));
  return Array.from({ length: 3 }, () => form(draw)).every((broken) => {
    if (broken.pieces && Object.keys(broken.pieces).every((ref) => !quick.refs.has(ref))) return true;
    return quick.simulate(nominal, broken).every((value, k) => Math.abs(value - plain[k]!) < 1e-4 * most);
  });
}

const nameOf = (suspect: Suspect): string => (suspect === null ? 'as-designed' : faultName(suspect));

export interface Verdict {
  /** Whether the first group holds the true cause: what χ² ≤ 4 without noise cannot tell from its leader. */
  readonly found: boolean;
  /** Standard error of the sampling, in ln, of the leader's odds against the next outside its group; 0 where none is near. */
  readonly error: number;
  readonly lead: string;
}

/**
 * What the ideal observer answers of a board on which `fault` was drawn. Groups as the diagnosis makes them: between forms that fit
 * best; its true form, which only the generator knows, also counts in the observer's favour.
 */
export function verdict(
  world: World,
  faults: readonly Fault[],
  truth: { readonly fault: Suspect; readonly form: Broken },
  seen: Float64Array,
  volts: number,
  healthy: number,
  draws: number,
): Verdict {
  const judged = judge(world, faults, seen, volts, healthy, draws);
  const lead = judged[0]!;
  const error = judged[1] && judged[1].probability > 0.02 ? Math.hypot(lead.error, judged[1].error) : lead.error;
  const own = judged.find(({ suspect }) => nameOf(suspect) === nameOf(truth.fault));
  const found =
    own === lead ||
    [truth.form, ...(own ? [own.form] : [])].some((form) => apart(new Quick(world), form, lead.form) <= 4);
  return { found, error, lead: nameOf(lead.suspect) };
}
