/** A stretch of a text: UTF-16 offsets, start inclusive, end exclusive. The model carries these; lines exist only at the edge. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** The same stretch, `by` code units further on. */
export const shift = (span: Span, by: number): Span => ({ start: span.start + by, end: span.end + by });

/** Whether `offset` lies in the span or just behind its last character, where a cursor still counts as on it. */
export const touches = (span: Span, offset: number): boolean => span.start <= offset && offset <= span.end;
