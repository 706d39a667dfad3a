/** Reference designators: class letters and a number, and what the letters say (IEEE 315, IEC 81346-2, silkscreen habit). */

export type Kind =
  | 'resistor'
  | 'capacitor'
  | 'inductor'
  | 'ferrite'
  | 'diode'
  | 'led'
  | 'zener'
  | 'tvs'
  | 'rectifier-bridge'
  | 'transistor'
  | 'npn'
  | 'pnp'
  | 'nmos'
  | 'pmos'
  | 'jfet'
  | 'chip'
  | 'regulator'
  | 'op-amp'
  | 'connector'
  | 'crystal'
  | 'fuse'
  | 'switch'
  | 'test-point'
  | 'cell'
  | 'loudspeaker'
  | 'microphone'
  | 'antenna'
  | 'transformer'
  | 'relay'
  | 'potentiometer'
  | 'varistor';

const letters: Readonly<Record<string, Kind>> = {
  R: 'resistor',
  RN: 'resistor',
  RV: 'potentiometer',
  VR: 'potentiometer',
  RP: 'potentiometer',
  C: 'capacitor',
  L: 'inductor',
  FB: 'ferrite',
  E: 'ferrite',
  D: 'diode',
  CR: 'diode',
  ZD: 'zener',
  BR: 'rectifier-bridge',
  LED: 'led',
  DS: 'led',
  Q: 'transistor',
  TR: 'transistor',
  U: 'chip',
  IC: 'chip',
  J: 'connector',
  P: 'connector',
  X: 'connector',
  CN: 'connector',
  CON: 'connector',
  JP: 'connector',
  H: 'connector',
  Y: 'crystal',
  XTAL: 'crystal',
  F: 'fuse',
  FU: 'fuse',
  S: 'switch',
  SW: 'switch',
  TP: 'test-point',
  BT: 'cell',
  BAT: 'cell',
  LS: 'loudspeaker',
  SP: 'loudspeaker',
  SPK: 'loudspeaker',
  MK: 'microphone',
  MIC: 'microphone',
  AE: 'antenna',
  ANT: 'antenna',
  T: 'transformer',
  K: 'relay',
  RL: 'relay',
  RY: 'relay',
};

/** The kind that class letters stand for; undefined for letters that are no class, or a text that is no designator. */
export function kindOfDesignator(designator: string): Kind | undefined {
  const match = /^([A-Za-z]+)\d+[A-Za-z]?$/.exec(designator);
  return match ? letters[match[1]!.toUpperCase()] : undefined;
}

export interface SplitPoint {
  readonly part: string;
  readonly pin: string;
}

/** `U1.14` → U1 and 14, at the first dot; undefined without one. */
export function splitPoint(text: string): SplitPoint | undefined {
  const dot = text.indexOf('.');
  if (dot <= 0) return undefined;
  return { part: text.slice(0, dot), pin: text.slice(dot + 1) };
}
