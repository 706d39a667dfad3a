import type { Dimension } from '../quantity/dimension';

/** Every check by name, with the severity it has on firm evidence. A name is never reused for another meaning. */
export interface CheckName {
  readonly name: string;
  readonly severity: 'error' | 'warning' | 'info' | 'hint';
  /** What a threshold under `limits` is measured in; none: the check has no threshold. */
  readonly limit?: { readonly dimensions: readonly Dimension[]; readonly value: number; readonly what: string };
}

const error = 'error';
const warning = 'warning';
const info = 'info';
const hint = 'hint';
const rows: [string, CheckName['severity'], CheckName['limit']?][] = [
  ['syntax', error],
  ['unknown-key', error],
  ['missing-key', error],
  ['wrong-type', error],
  ['bad-quantity', error],
  ['wrong-unit', error],
  ['unknown-reference', error],
  ['duplicate-name', error],
  ['missing-file', error],
  ['file-unreadable', error],
  ['file-too-large', error],
  ['pin-out-of-range', error],
  ['pin-joined-twice', warning],
  ['ground-split', warning],
  ['ground-miswired', error],
  ['ground-lifted', warning, { dimensions: ['resistance'], value: 2, what: 'the most ohms inside one ground' }],
  ['return-shared', info, { dimensions: ['ratio-db'], value: -60, what: 'the most crosstalk through a shared return' }],
  ['sleeve-not-ground', warning],
  ['supply-unfed', warning],
  ['supply-out-of-range', error],
  ['supply-short', error],
  ['supply-conflict', error],
  ['supply-ripple', warning, { dimensions: ['percent'], value: 5, what: 'the most ripple, peak to peak of the DC' }],
  ['decoupling-missing', info],
  ['rating-exceeded', error, { dimensions: ['percent'], value: 100, what: 'the most of a rating that may be used' }],
  ['capacitor-reversed', error],
  ['diode-reversed', error],
  ['channel-crossed', warning],
  ['coupling-missing', warning],
  ['coupling-corner-high', warning, { dimensions: ['frequency'], value: 30, what: 'the highest −3 dB corner' }],
  ['output-overloaded', warning],
  ['bridge-grounded', error],
  ['bridge-as-stereo', warning],
  ['channels-antiphase', warning],
  ['channels-identical', warning],
  ['channels-swapped', warning],
  ['channel-dead', warning, { dimensions: ['ratio-db'], value: -40, what: 'below this a side counts as dead' }],
  ['channels-delayed', warning],
  [
    'channels-unequal',
    warning,
    { dimensions: ['ratio-db'], value: 1.5, what: 'the most difference between the sides' },
  ],
  ['crosstalk-high', warning],
  ['noise-high', warning],
  ['distortion-high', warning],
  ['output-dc', warning, { dimensions: ['voltage'], value: 0.05, what: 'the most DC between contact and return' }],
  [
    'level-unexpected',
    warning,
    { dimensions: ['ratio-db'], value: 2, what: 'the most difference from the predicted level' },
  ],
  ['output-clipped', warning],
  [
    'hum-present',
    warning,
    { dimensions: ['ratio-db'], value: -60, what: 'the most hum, against the tone or full scale' },
  ],
  [
    'spur-present',
    warning,
    { dimensions: ['ratio-db'], value: -60, what: 'the highest spur, against the tone or full scale' },
  ],
  ['clock-off-frequency', warning, { dimensions: ['ppm'], value: 200, what: 'the most error of a clock' }],
  ['crystal-load', info, { dimensions: ['percent'], value: 20, what: 'the most error of the load capacitance' }],
  ['pin-role-contradicted', warning],
  ['control-held', warning],
  ['pinout-unproven', hint],
  ['pinout-doubtful', warning],
  ['pin-numbering-turned', warning],
  ['marking-mismatch', warning],
  ['node-floating', info],
  ['capture-clipped', warning],
  ['capture-too-short', warning],
  ['capture-too-slow', warning],
  ['capture-truncated', warning],
  ['capture-uneven', warning],
  ['capture-unscaled', hint],
  ['ground-lead-hazard', error],
  ['measurement-stale', warning],
  ['evidence-weak', info],
  ['cause-likely', info],
  ['expectation-failed', error],
  ['expectation-untested', info],
  ['acceptance-unused', hint],
];

export const checkNames: ReadonlyMap<string, CheckName> = new Map(
  rows.map(([name, severity, limit]) => [name, { name, severity, ...(limit && { limit }) }]),
);
