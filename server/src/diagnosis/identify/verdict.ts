import { evidence, kindRatio } from './likelihood';
import type { PinType } from './pin-type';
import type { CopperSeen, PinSeen } from './seen';
import { type Row, supplyRows } from './table';
import { verdicts } from './weights';

export type Verdict = 'agree' | 'contradict' | 'open';

/** Pins that are tied to ground or a supply by design, or for want of anything better: that is never against them. */
const strapped = new Set<Row>([
  'control',
  'reset',
  'data',
  'port',
  'bus',
  'test',
  'audio-in',
  'microphone',
  'not-connected',
  'do-not-connect',
  // The two ends of a converter's range.
  'reference',
]);
/** What must be joined to something: every other pin may be left open where it is not used. */
const needed = new Set<Row>(['ground', ...[...supplyRows].filter((row) => row !== 'supply-out')]);

/** Whether what copper shows of a pin is no more than a strap, seen from either end, or the pin left open. */
function harmless({ kind }: CopperSeen, type: PinType): boolean {
  const some = (rows: ReadonlySet<Row>) => type.rows.some((row) => rows.has(row));
  if (kind === 'ground') return some(strapped) || type.rows.includes('clock');
  if (kind === 'supply') return some(strapped);
  if (kind === 'control' || kind === 'data') return some(needed);
  return kind === 'nothing' && !type.rows.every((row) => needed.has(row));
}

/**
 * Whether everything seen of a pin fits its being of a type. Open: nothing was seen, nothing is known of the pin, or what was seen
 * says too little. How it is known is left aside: a contradiction on a guess is one, and is told as resting on it.
 */
export function verdictOf(seen: PinSeen | undefined, type: PinType | undefined): Verdict {
  if (!seen || !type || type.rows.length === 0) return seen && !type ? 'contradict' : 'open';
  // Read as if the bench were never wrong.
  const ratio = Math.exp(evidence(seen, type, undefined, 0));
  if (ratio >= verdicts.agrees) return 'agree';
  if (ratio > verdicts.contradicts || seen.copper?.unfinished || (seen.copper && harmless(seen.copper, type)))
    return 'open';
  return 'contradict';
}

/** What copper reaches that makes a pin something: the rest is absence, or says too little of what it is. */
const telling = new Set<CopperSeen['kind']>([
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
]);

/** Pins that may sit on a line of another kind by design: general inputs and outputs, and those with nothing behind them. */
const soft = new Set<Row>([
  'control',
  'reset',
  'data',
  'port',
  'test',
  'not-connected',
  'do-not-connect',
  'chassis',
  'mains',
]);

/**
 * Whether copper says that a pin is something else than its roles: by one piece of copper, not by what is absent, and by the roles
 * alone, as sides and volts have their own checks. A pin with several roles is contradicted only if each of them is.
 */
export function roleContradicted(copper: CopperSeen, type: PinType): boolean {
  if (type.rows.length === 0 || !telling.has(copper.kind) || (copper.through ?? []).length > 0) return false;
  if (harmless(copper, type) || type.rows.some((row) => soft.has(row))) return false;
  return type.rows.every((row) => kindRatio(copper, { ...type, rows: [row] }) <= verdicts.contradicts);
}
