import { cautions as vocabulary } from '../dialect/words';
import type { Board } from './board';
import { otherLeg, outputs } from './paths';

/** A caution that goes with a board: stated by the writer, or inferred, and from what. */
export interface Caution {
  readonly name: string;
  /** What it was inferred from; undefined where the writer states it. */
  readonly from: string | undefined;
  readonly text: string;
}

/** Volts from which a supply or a capacitor can hurt: 60 V DC, IEC 61140's bound for dry conditions (from memory). */
const hurts = 60;

/** The cautions a board states, and those its cells, nets, capacitors and outputs call for. Each once, the stated ones first. */
export function cautionsOf(board: Board): Caution[] {
  const found = new Map<string, Caution>();
  const add = (name: string, from: string | undefined) => {
    const text = vocabulary.find((caution) => caution.name === name)?.doc;
    if (text !== undefined && !found.has(name)) found.set(name, { name, from, text });
  };
  for (const stated of board.parsed?.value?.cautions?.value ?? [])
    if (stated.value !== undefined) add(stated.value, undefined);
  const copper = board.at();
  for (const part of copper.parts.values()) {
    if (!part.fitted) continue;
    if (part.kind === 'cell' && part.chemistry?.startsWith('lithium')) add('lithium-cell', `cell ${part.designator}`);
    const rated = part.ratings.find((rating) => rating.dimension === 'voltage')?.value ?? 0;
    if (part.kind === 'capacitor' && part.polarised && rated > hurts)
      add('stored-charge', `${part.designator}, rated ${rated} V`);
  }
  for (const net of board.nets.values()) {
    if (net.role === 'mains') add('mains', `net ${net.name}`);
    if (net.volts && Math.max(Math.abs(net.volts.min), Math.abs(net.volts.max)) > hurts)
      add('high-voltage', `net ${net.name}`);
  }
  for (const { pin } of outputs(copper))
    if (otherLeg(pin) !== undefined) add('loud-output', `bridge output ${pin.name}`);
  return [...found.values()];
}
