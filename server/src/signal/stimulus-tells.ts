import type { Stimulus } from './figures';
import { caseWords, mixes, type OutputCase, type Seen, seen, sources } from './output-cases';

/** What a recording made under a stimulus can and cannot show, whatever it holds. */
export interface StimulusTells {
  /** Antiphase here is a fault (which one may be open): the stimulus itself is not opposed. */
  readonly canTellOpposed: boolean;
  /** A reversed polarity shows, and nothing else looks the same. */
  readonly canTellPolarity: boolean;
  readonly canTellSides: boolean;
  readonly canTellMono: boolean;
  readonly canTellDeadLeft: boolean;
  readonly canTellDeadRight: boolean;
  readonly canTellReturn: boolean;
  readonly canTellBalance: boolean;
  readonly canTellSeparation: boolean;
  readonly canTellDelay: boolean;
  readonly canTellEcho: boolean;
  /** Distortion and clipping: only against a tone, or in silence. */
  readonly canTellDistortion: boolean;
  readonly canTellNoise: boolean;
  readonly canTellHum: boolean;
  /** A coupling part too small: something low enough was played. */
  readonly canTellCoupling: boolean;
  /** The same in words, each fit to stand after "can tell" or "cannot tell". */
  readonly can: readonly string[];
  readonly cannot: readonly string[];
}

const nothing: StimulusTells = {
  canTellOpposed: false,
  canTellPolarity: false,
  canTellSides: false,
  canTellMono: false,
  canTellDeadLeft: false,
  canTellDeadRight: false,
  canTellReturn: false,
  canTellBalance: false,
  canTellSeparation: false,
  canTellDelay: false,
  canTellEcho: false,
  canTellDistortion: false,
  canTellNoise: false,
  canTellHum: false,
  canTellCoupling: false,
  can: [],
  cannot: [],
};

const cases = Object.keys(mixes) as OutputCase[];
const sides = ['left', 'right', 'both', 'opposed', 'unlike'] as const;

/** What the all-in-one recording plays; its chirps, one side after the other, time the sides as a sweep on both would. */
const allInOne: readonly Stimulus[] = [
  ...sides.map((side): Stimulus => ({ kind: side === 'unlike' ? 'noise' : 'tone', side })),
  { kind: 'sweep', side: 'both' },
];

/**
 * The cases that a set of recordings, one under each stimulus, leaves possible beside `truth`: those that would look the same.
 * Levels are compared within each recording, second against first: what a side's level should be is not taken as known.
 */
export function alike(truth: OutputCase, stimuli: readonly Stimulus[]): OutputCase[] {
  return cases.filter((other) => other !== truth && !stimuli.some((stimulus) => differs(truth, other, stimulus)));
}

/** What a stimulus (null: not stated) lets a recording tell. */
export function stimulusTells(stimulus: Stimulus | null): StimulusTells {
  if (!stimulus) return { ...nothing, cannot: ['what is meant from what is wrong: what was played is not stated'] };
  const played = stimulus.kind === 'all-in-one' ? allInOne : [stimulus];
  const tellsApart = (fault: OutputCase) => played.some((one) => differs('as-designed', fault, one));
  const kinds = stimulus.kind === 'all-in-one' ? ['tone', 'noise', 'sweep', 'silence'] : [stimulus.kind];
  const is = (...wanted: Stimulus['kind'][]) => wanted.some((kind) => kinds.includes(kind));
  const has = (...wanted: Stimulus['side'][]) => played.some(({ side }) => side !== undefined && wanted.includes(side));
  const flags = {
    canTellOpposed: played.some(opposedIsFault),
    canTellPolarity: tellsApart('polarity-reversed') && alike('polarity-reversed', played).length === 0,
    canTellSides: tellsApart('sides-exchanged'),
    canTellMono: tellsApart('mono-summed'),
    canTellDeadLeft: tellsApart('left-dead'),
    canTellDeadRight: tellsApart('right-dead'),
    canTellReturn: tellsApart('return-open'),
    canTellBalance: has('both', 'opposed') || stimulus.kind === 'sweep' || (has('unlike') && is('noise')),
    canTellSeparation: has('left', 'right'),
    canTellDelay: tellsApart('delayed'),
    canTellEcho: tellsApart('echo'),
    canTellDistortion: is('tone'),
    canTellNoise: is('silence', 'tone'),
    canTellHum: is('silence', 'tone'),
    canTellCoupling: is('noise', 'sweep') || (is('tone') && (stimulus.tone ?? (kinds.length > 1 ? 61 : 1000)) <= 100),
  };
  return { ...flags, ...words(played) };
}

function words(played: readonly Stimulus[]): { can: string[]; cannot: string[] } {
  const faults: readonly OutputCase[] = cases.filter((name) => name !== 'as-designed');
  const shown = faults.filter((name) => played.some((one) => differs('as-designed', name, one)));
  const list = (names: readonly OutputCase[]) =>
    names
      .map((name) => caseWords[name])
      .join(', ')
      .replace(/, ([^,]*)$/, ' or $1');
  const can = new Set<string>();
  for (const name of shown) {
    const group = faults.filter((other) => other === name || alike(name, played).includes(other));
    can.add(group.length > 1 ? `that it is one of these, not which: ${list(group)}` : caseWords[name]);
  }
  const cannot = new Map<string, OutputCase[]>();
  const add = (name: OutputCase, other: OutputCase) => {
    const end = `from ${caseWords[other]}${remedy(name, other)}`;
    cannot.set(end, [...(cannot.get(end) ?? []), name]);
  };
  for (const name of faults) if (!shown.includes(name)) add(name, 'as-designed');
  for (const name of shown)
    for (const other of alike(name, played)) if (faults.indexOf(name) > faults.indexOf(other)) add(name, other);
  return { can: [...can], cannot: [...cannot].map(([end, names]) => `${list(names)} ${end}`) };
}

/** What to play instead to part two cases, if one side's tone or noise does. */
function remedy(one: OutputCase, other: OutputCase): string {
  for (const kind of ['tone', 'noise'] as const)
    for (const side of sides) {
      if (kind === 'tone' && side === 'unlike') continue;
      if (differs(one, other, { kind, side })) return `: play ${playing[side]}${kind === 'noise' ? ', noise' : ''}`;
    }
  return '';
}

const playing = {
  left: 'the left side alone',
  right: 'the right side alone',
  both: 'the same on both',
  opposed: 'the same on both, opposed',
  unlike: 'unlike on each side',
};

/** Whether as-designed output under this stimulus excludes that both channels carry one signal, opposed. */
function opposedIsFault(stimulus: Stimulus): boolean {
  const views = look('as-designed', stimulus);
  return views?.every(({ correlation }) => correlation === null || correlation > -0.9) ?? false;
}

/** Whether a recording under `stimulus` looks plainly different in two cases, for every programme the stimulus may be. */
function differs(one: OutputCase, other: OutputCase, stimulus: Stimulus): boolean {
  if (one === other) return false;
  // Time and ripple show only where many frequencies were played: a delay between two channels that carry the same, an echo
  // against a spectrum that is known.
  const broad = stimulus.kind === 'noise' || stimulus.kind === 'sweep' || stimulus.kind === 'programme';
  const sweep = stimulus.kind === 'sweep';
  const timed = broad && (stimulus.side === 'both' || stimulus.side === 'opposed' || (sweep && !stimulus.side));
  const rippled = sweep || (stimulus.kind === 'noise' && stimulus.side !== undefined);
  if (timed && (one === 'delayed') !== (other === 'delayed')) return true;
  if (rippled && (one === 'echo') !== (other === 'echo')) return true;
  const first = look(one, stimulus);
  const second = look(other, stimulus);
  if (!first || !second) return false;
  const correlation = (view: Seen) => view.correlation;
  return (
    apart(range(first, balance), range(second, balance), 6) ||
    apart(range(first, correlation), range(second, correlation), 0.3)
  );
}

/** How a case looks under every correlation the stimulus may have; null where the stimulus has no sides to judge by. */
function look(name: OutputCase, stimulus: Stimulus): Seen[] | null {
  const given = sources(stimulus);
  return given?.rho.map((rho) => seen(mixes[name], given.left, given.right, rho)) ?? null;
}

/** The values a figure may take, and whether there may be none (a silent side). */
interface Range {
  readonly low: number;
  readonly high: number;
  readonly none: boolean;
}

function range(views: readonly Seen[], of: (view: Seen) => number | null): Range {
  const values = views.map(of).filter((value) => value !== null);
  return { low: Math.min(...values), high: Math.max(...values), none: values.length < views.length };
}

/** Level of the second channel over the first, dB; a recorder's floor lies 60 dB down. Null where both are silent. */
function balance({ levels: [first, second] }: Seen): number | null {
  const floor = -60;
  if (first < floor && second < floor) return null;
  return Math.max(floor, second) - Math.max(floor, first);
}

/** Whether no value of one lies within `gap` of a value of the other, nor both may be missing. No values: an empty range. */
const apart = (a: Range, b: Range, gap: number): boolean =>
  !(a.none && b.none) && (a.low - b.high > gap || b.low - a.high > gap);
