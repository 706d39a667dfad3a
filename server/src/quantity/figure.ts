/** How a fact is known, strongest first. A figure is as strong as the weakest fact it was worked out from. */
export type Evidence = 'measured' | 'buzzed' | 'seen' | 'stated' | 'assumed';

/** One fact that a figure rests on, as it is named to the reader: "capture tone-left", "R4 470 Ω", "assumed R6.2 R7.2 GND". */
export interface Basis {
  readonly what: string;
  readonly evidence: Evidence;
}

/**
 * A worked-out or measured number: in the base unit named (V RMS, Ω, F, Hz, dB, °, s), with its standard deviation where one
 * is known, and the facts it rests on.
 */
export interface Figure {
  readonly value: number;
  readonly unit: string;
  readonly sd: number | null;
  readonly basis: readonly Basis[];
}

/** The assumed facts among a basis: what a finding must name, and why it loses one step of severity. */
export const assumptions = (basis: readonly Basis[]): Basis[] => basis.filter((fact) => fact.evidence === 'assumed');
