import type { Quantity } from '../quantity/quantity';
import type { Span } from '../text/span';
import type { WrittenPoint } from './copper';

/** What was being played while something was measured. */
export interface Stimulus {
  readonly kind: 'silence' | 'programme' | 'all-in-one' | 'sweep' | 'tone' | 'noise';
  /** Hz, of a tone. */
  readonly frequency: number | undefined;
  readonly noise: 'white' | 'pink' | undefined;
  readonly title: string | undefined;
  readonly side: 'left' | 'right' | 'both' | 'opposed' | 'unlike' | undefined;
  readonly level: Quantity | undefined;
  /** Where a generator feeds it: one pair of points, or one a side. Empty: the board plays it itself. */
  readonly into: readonly { readonly side: 'left' | 'right' | undefined; readonly points: readonly WrittenPoint[] }[];
  /** The generator's impedance in ohms. */
  readonly source: number | undefined;
  readonly span: Span;
}

/** How a stimulus is named in messages: "997 Hz on the left". */
export function stimulusText(stimulus: (Pick<Stimulus, 'kind'> & Partial<Stimulus>) | undefined): string {
  if (!stimulus) return 'an unstated stimulus';
  const what =
    stimulus.kind === 'tone'
      ? `${stimulus.frequency ?? '?'} Hz`
      : stimulus.kind === 'noise'
        ? `${stimulus.noise ?? ''} noise`.trim()
        : stimulus.kind === 'programme'
          ? (stimulus.title ?? 'programme')
          : stimulus.kind === 'all-in-one'
            ? 'the all-in-one recording'
            : stimulus.kind;
  const side = {
    left: ' on the left alone',
    right: ' on the right alone',
    both: ' on both sides, in phase',
    opposed: ' on both sides, in antiphase',
    unlike: ' unlike on the two sides',
  };
  return what + (stimulus.side ? side[stimulus.side] : '');
}

export type ReadingKind = 'dc' | 'ac' | 'frequency' | 'ohms' | 'diode' | 'amps' | 'farads' | 'esr' | 'beeps';

/** One number off a meter. */
export interface Reading {
  readonly kind: ReadingKind;
  /** One point (against ground) or two, red lead first; none for a current. */
  readonly points: readonly WrittenPoint[];
  /** The part a current flows through. */
  readonly through: string | undefined;
  /** In the base unit, AC as volts RMS; infinite for `OL`; 1 or 0 for a beep. */
  readonly value: number;
  readonly stimulus: Stimulus | undefined;
  readonly state: string;
  readonly zeroed: boolean;
  readonly span: Span;
  /** How it is named in evidence: "reading VSYS 3.28 V". */
  readonly label: string;
}

export interface CaptureChannel {
  /** WAV channel number or CSV column, as written. */
  readonly key: string;
  readonly keySpan: Span;
  /** One point, or two for a differential probe: first minus second. */
  readonly points: readonly WrittenPoint[];
  readonly span: Span;
}

/** A recording attached to the board. */
export interface Capture {
  readonly name: string;
  readonly keySpan: Span;
  readonly span: Span;
  readonly file: { readonly path: string; readonly span: Span } | undefined;
  readonly stimulus: Stimulus | undefined;
  /** Something stands at `stimulus` that cannot be read: nothing may be claimed from the recording. */
  readonly stimulusBroken: boolean;
  readonly channels: readonly CaptureChannel[];
  readonly groundLead: WrittenPoint | 'none' | undefined;
  readonly groundLeadSpan: Span | undefined;
  /** Volts, peak, at digital full scale. */
  readonly fullScale: number | undefined;
  readonly unit: string | undefined;
  /** 1 or 10: the attenuation the file does not account for. */
  readonly probe: number;
  /** Ohms of the recorder's input. */
  readonly input: number | undefined;
  readonly coupling: 'ac' | 'dc';
  readonly state: string;
}
