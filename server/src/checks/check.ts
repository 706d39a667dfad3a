import type { Board } from '../board/board';
import type { Join } from '../board/copper';
import { joinText } from '../board/copper';
import type { Problem } from '../dialect/type';
import type { Basis } from '../quantity/figure';
import type { RecordingFigures } from '../signal/figures';
import type { Finding, Fix, Severity } from '../text/finding';
import type { Span } from '../text/span';

/** What a check reads, cheapest first: it runs again when that changes, and may wait for it. */
export type Reads = 'text' | 'copper' | 'network' | 'figures' | 'diagnosis';

/** What a measured recording came to. Pending figures keep the findings of before. */
export type CaptureState =
  | {
      readonly is: 'pending';
      /** The user has stopped its measurement. */
      readonly stopped?: true;
    }
  | {
      readonly is: 'failed';
      readonly check: 'missing-file' | 'file-unreadable' | 'file-too-large' | 'unknown-reference';
      readonly message: string;
      /** The channel, as the board writes it, that the file has not. */
      readonly channel?: string;
    }
  | { readonly is: 'ready'; readonly figures: RecordingFigures };

/** One versioned, immutable view of a board and everything measured on it: all that a check may look at. */
export interface Snapshot {
  readonly board: Board;
  readonly text: string;
  /** What is wrong with the text itself. */
  readonly problems: readonly Problem[];
  /** Stretches whose meaning is held back: an unclosed quote swallows what follows. */
  readonly broken: readonly Span[];
  /** By capture name. */
  readonly captures: ReadonlyMap<string, CaptureState>;
  /** A check's threshold: the board's, else the workspace's, else the table's. */
  limit(check: string): number;
  /** Asked now and then by what reasons long; true ends it early, and its result is of no use then. */
  stop?(): boolean;
}

/** The page of a check: what it means on a bench, and how far it may be trusted. Markdown. */
export interface Page {
  readonly meaning: string;
  /** Other causes of the same appearance. */
  readonly causes: string;
  /** What to probe next. */
  readonly next: string;
  /** Where its threshold or rule comes from; 'common practice, no source' where nowhere better. */
  readonly source: string;
  /** What it cannot see, and where it stays silent on purpose. */
  readonly blind: string;
}

/** What a check says before the engine makes a finding of it. */
export interface Draft {
  readonly span: Span;
  readonly message: string;
  readonly at?: readonly string[];
  readonly evidence?: readonly string[];
  readonly figures?: Finding['figures'];
  readonly related?: readonly { readonly span: Span; readonly message: string; readonly file?: string }[];
  readonly fixes?: readonly Fix[];
  /** Joins the claim rests on: an assumed one among them is named and costs one step of severity. */
  readonly joins?: readonly Join[];
  readonly basis?: readonly Basis[];
  /** Where it differs from the table's. */
  readonly severity?: Severity;
  /** The state the claim is about, where it is not the last. */
  readonly state?: string;
}

export interface Check {
  readonly name: string;
  readonly reads: Reads;
  readonly page: Page;
  /** Pure; never throws on any snapshot. `told` holds what the checks before it have found: one cause, one finding. */
  run(snapshot: Snapshot, told: readonly Finding[]): readonly Draft[];
}

/** How joins are named as evidence, each once. */
export const joinEvidence = (joins: readonly Join[]): string[] => [...new Set(joins.map(joinText))];
