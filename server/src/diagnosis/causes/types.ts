import type { Board } from '../../board/board';
import type { Part } from '../../board/part';
import type { RecordingFigures } from '../../signal/figures';

/** What the bench knows: the board, and the figures of those of its recordings that are measured, by capture name. */
export interface DiagnosisInput {
  readonly board: Board;
  readonly figures: ReadonlyMap<string, RecordingFigures>;
}

/** The names of the contract. */
export type CauseName =
  | 'as-designed'
  | 'output-mode'
  | 'polarity-reversed'
  | 'sides-exchanged'
  | 'mono-summed'
  | 'side-dead'
  | 'open'
  | 'short'
  | 'wrong-value'
  | 'aged'
  | 'return-open'
  | 'common-return'
  | 'leakage'
  | 'delayed'
  | 'echo'
  | 'one-sided-source'
  | 'supply-missing'
  | 'held-off'
  | 'misprobed'
  | 'unexplained';

/** What an element of the network becomes. Values in Ω, F and H; `part`: only where the state still has this very part. */
export interface ElementChange {
  readonly element: string;
  readonly part?: Part;
  readonly becomes:
    | 'open'
    | 'short'
    /** A diode the other way round; whether it then conducts is the hypothesis' to say, by a bridge. */
    | 'reversed'
    | { readonly ohms?: number; readonly farads?: number; readonly henries?: number; readonly esr?: number };
  /** ln by which the value itself is uncertain: half the step to the next variant. */
  readonly spread?: number;
}

/** A path between two points that is not meant to be there. */
export interface Bridge {
  readonly between: readonly [string, string];
  readonly ohms?: number;
  readonly farads?: number;
  /** V, at DC alone, that the first point is held above the second behind the ohms. */
  readonly volts?: number;
  /** As of an element's change. */
  readonly spread?: number;
}

/** How a hypothesis changes what the network, its sources and its probes do. All lists: effects add up. */
export interface Effect {
  readonly changes?: readonly ElementChange[];
  readonly bridges?: readonly Bridge[];
  /** Part → output mode. */
  readonly modes?: readonly { readonly part: string; readonly mode: string }[];
  /** Outputs whose signal is inverted, or gone, or a crystal that does not run; `bias` true: their DC is gone too. */
  readonly flips?: readonly string[];
  readonly dead?: readonly { readonly output: string; readonly bias: boolean }[];
  /** Left programme on the right and the reverse. */
  readonly exchanged?: boolean;
  /** A side of the programme that is not there. */
  readonly without?: 'left' | 'right';
  /** Sides of the programme that are `by` as loud as they should be; `spread`: ln by which that itself is uncertain. */
  readonly quieter?: readonly { readonly side: 'left' | 'right'; readonly by: number; readonly spread: number }[];
  /** One side of the programme behind the other, s. */
  readonly delays?: readonly { readonly side: 'left' | 'right'; readonly seconds: number }[];
  /** The programme and itself once more, `by` as loud, s later. */
  readonly echoes?: readonly { readonly by: number; readonly seconds: number }[];
  /** DC sources that give only a share of their volts. */
  readonly rails?: readonly { readonly name: string; readonly share: number }[];
  /** What was done wrong in one capture: its first two leads exchanged, or its scale off by a factor. */
  readonly probing?: readonly {
    readonly capture: string;
    readonly exchanged?: boolean;
    readonly factor?: number;
    /** ln by which the factor itself is uncertain; `shared`: its name, where several captures have one and the same. */
    readonly spread?: number;
    readonly shared?: string;
    /** Index of the one channel meant; all without. */
    readonly channel?: number;
  }[];
}

/** One form a hypothesis may take: what is unknown within it (a value, a delay) is integrated over its variants. */
export interface Variant {
  readonly weight: number;
  readonly effect: Effect;
  /** What this variant is, in words: "4.7 kΩ", "about 1 Ω". */
  readonly text?: string;
}

export interface Hypothesis {
  readonly cause: CauseName;
  /** Canonical points or designators. */
  readonly at: readonly string[];
  readonly mode: string | null;
  /** Odds against `as-designed`; see priors.ts. */
  readonly prior: number;
  readonly variants: readonly Variant[];
  /** The hypotheses it is made of, where it is more than one at once. */
  readonly of?: readonly Hypothesis[];
}

/** One cause as answered. */
export interface Cause {
  readonly cause: CauseName;
  readonly at: readonly string[];
  readonly mode: string | null;
  /** Causes with one number cannot be told apart by anything measured. */
  readonly group: number;
  readonly probability: number;
  /** Measurements that fit under it, and those it leaves unexplained. */
  readonly explains: readonly string[];
  readonly leaves: readonly string[];
  /** The best-fitting value, in words; null where it has none. */
  readonly figure: string | null;
  /** One plain sentence. */
  readonly words: string;
  readonly also: readonly { readonly cause: CauseName; readonly at: readonly string[]; readonly mode: string | null }[];
}

export interface NextProbe {
  /** What to measure at, as points. */
  readonly probe: readonly string[];
  /** What to play, in words of the dialect; null for a meter on the silent or unpowered board. */
  readonly stimulus: string | null;
  /** The same in words. */
  readonly plays: string | null;
  readonly instrument: 'recorder' | 'volts' | 'ohms';
  /** Expected information, bits. */
  readonly gain: number;
  readonly effort: number;
  /** What each outcome would mean. */
  readonly outcomes: readonly { readonly shows: string; readonly means: string }[];
}

export interface Remedy {
  /** First: what to mind. */
  readonly cautions: readonly string[];
  readonly steps: readonly string[];
}

export interface Diagnosis {
  readonly causes: readonly Cause[];
  readonly next: readonly NextProbe[];
  /** For the leading cause. */
  readonly remedy: Remedy | null;
  /** False where the board as designed, or what cannot be told from it, explains the measurements. */
  readonly anythingWrong: boolean;
  /** True where the leading cause is sure enough to be told unasked. */
  readonly enough: boolean;
  /** How many measurements were used, and what could not be. */
  readonly used: readonly string[];
  /** What the answer rests on beyond the measurements, in sentences. */
  readonly notes: readonly string[];
}
