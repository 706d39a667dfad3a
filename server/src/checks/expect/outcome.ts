import type { WrittenPoint } from '../../board/copper';
import type { Word } from '../../dialect/type';
import type { Span } from '../../text/span';
import type { Draft, Snapshot } from '../check';

/** What testing one expectation against the measurements came to. */
export interface Outcome {
  readonly kind: string;
  readonly span: Span;
  readonly state: string;
  readonly verdict: 'met' | 'failed' | 'untested';
  /** Failed: what was found, with figure and uncertainty. Untested: what would test it. */
  readonly message: string;
  readonly at: readonly string[];
  readonly evidence: readonly string[];
  readonly figures: NonNullable<Draft['figures']>;
}

/** What an evaluator is given beside the expectation's own words. */
export interface Asked {
  readonly snapshot: Snapshot;
  readonly state: string;
  /** Points of a list of words; undefined where one of them names none. */
  points(words: { readonly value: readonly Word[] | undefined } | undefined): WrittenPoint[] | undefined;
}

/** An outcome before it is placed. */
export type Answer = Omit<Outcome, 'kind' | 'span' | 'state' | 'at' | 'evidence' | 'figures'> &
  Partial<Pick<Outcome, 'at' | 'evidence' | 'figures'>>;

/** It holds; `evidence` names what shows it. */
export const met = (evidence: readonly string[] = [], figures: Outcome['figures'] = {}): Answer => ({
  verdict: 'met',
  message: '',
  evidence,
  figures,
});
/** It does not hold; `message` says what was found, with figure and uncertainty. */
export const failed = (message: string, evidence: readonly string[], figures: Outcome['figures'] = {}): Answer => ({
  verdict: 'failed',
  message,
  evidence,
  figures,
});
/** Nothing tells; `message` says what would. */
export const untested = (message: string): Answer => ({ verdict: 'untested', message });
