import type { Join } from '../../board/copper';
import type { Evidence } from '../../quantity/figure';

/** What copper leads a pin to: one answer a pin, however many joins say it. */
export const copperKinds = [
  'ground',
  'supply',
  'clock',
  'antenna',
  'audio-straight',
  'audio-coupled',
  'audio-divided',
  'audio-in',
  'common',
  'data',
  'control',
  'reference',
  'decoupling',
  'led',
  'pulled',
  'line',
  'unsettled',
  'nothing',
] as const;
export type CopperKind = (typeof copperKinds)[number];

export type Side = 'left' | 'right' | 'mono';

/** How one observation is known; `facts` name it to the reader, where the board gave it. */
export interface Known {
  readonly evidence: Evidence;
  readonly facts?: readonly string[];
}

/** Where copper leads, and how it is known. */
export interface CopperSeen extends Known {
  readonly kind: CopperKind;
  /** The programme of the audio contact or net reached. */
  readonly side?: Side;
  /** Of a supply: what it carries, read or stated. */
  readonly volts?: number;
  /** How many of the part's pins are on that supply: its voltage is one observation, shared among them. */
  readonly sharedBy?: number;
  /** The point it was recognised by. */
  readonly to?: string;
  /** More may be on that copper than has been listed: what it is rests on what has not been found so far. */
  readonly unfinished?: boolean;
  /** Parts passed on the way: none where it is one piece of copper. */
  readonly through?: readonly string[];
  readonly joins?: readonly Join[];
}

/**
 * Everything seen of one pin: plain data. The model knows nothing else of a board, so that generated observations and those of a
 * real board are weighed alike. A pin that nobody visited has no entry.
 */
export interface PinSeen {
  /** As written: `14`, `A3`, `EP`. */
  readonly pin: string;
  readonly copper?: CopperSeen;
  /** No beep to ground, or to a supply. */
  readonly notGround?: Known;
  readonly notSupply?: Known;
  /** DC against ground. */
  readonly dc?: Known & { readonly volts: number };
  /** A frequency counted on it. */
  readonly clock?: Known & { readonly hertz: number };
  /** Whether sound was there while sound was played. */
  readonly audio?: Known & { readonly present: boolean };
}
