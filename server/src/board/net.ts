import type { Span } from '../text/span';

/** A net as `nets` declares it. Volts and ohms in base units. */
export interface Net {
  readonly name: string;
  readonly role: string | undefined;
  readonly channel: 'left' | 'right' | 'mono' | undefined;
  readonly volts: { readonly min: number; readonly max: number; readonly ends: boolean } | undefined;
  /** Something stands at `volts` that could not be read: nothing may be concluded from its absence. */
  readonly voltsBroken: boolean;
  readonly load: number | undefined;
  readonly complete: boolean;
  readonly note: string | undefined;
  readonly keySpan: Span;
  readonly span: Span;
  /** Where its `volts` and `role` stand, for findings about them. */
  readonly voltsSpan: Span | undefined;
  readonly roleSpan: Span | undefined;
}
