import type { WrittenPoint } from '../../board/copper';
import { joinText } from '../../board/copper';
import { readingsAt } from './measured';
import { type Answer, type Asked, failed, met, untested } from './outcome';

/** Ohms up to which two points count as joined by a reading: leads and contacts included. Common practice, no source. */
const joinedOhms = 2;

/** One piece of copper connects the points: tested by buzzed or seen copper, apart lists and readings; a guess tests nothing. */
export function joined(asked: Asked, points: readonly WrittenPoint[] | undefined): Answer | undefined {
  const [first, ...others] = points ?? [];
  if (!first || others.length === 0) return undefined;
  const open: string[] = [];
  const evidence: string[] = [];
  for (const other of others) {
    const verdict = pair(asked, first, other);
    if (verdict.apart) return failed(`${first.text} and ${other.text} are apart (${verdict.apart}).`, [verdict.apart]);
    if (verdict.joined) evidence.push(...verdict.joined);
    else open.push(other.text);
  }
  return open.length === 0
    ? met(evidence)
    : untested(`a beep from ${first.text} to ${open.join(' and ')} would test it.`);
}

/** The points do not beep. */
export function apart(asked: Asked, points: readonly WrittenPoint[] | undefined): Answer | undefined {
  const [a, b] = points ?? [];
  if (!a || !b) return undefined;
  const verdict = pair(asked, a, b);
  if (verdict.joined)
    return failed(`${a.text} and ${b.text} are joined (${verdict.joined.join('; ')}).`, verdict.joined);
  if (verdict.apart) return met([verdict.apart]);
  return untested(`the meter between ${a.text} and ${b.text} would test it.`);
}

function pair(asked: Asked, a: WrittenPoint, b: WrittenPoint): { joined?: string[]; apart?: string } {
  const copper = asked.snapshot.board.at(asked.state);
  for (const { reading } of readingsAt(asked, [a, b], 'beeps', 'ohms')) {
    const closed = reading.kind === 'beeps' ? reading.value === 1 : reading.value <= joinedOhms;
    return closed ? { joined: [reading.label] } : { apart: reading.label };
  }
  const [first, second] = [copper.node(a.ref.name), copper.node(b.ref.name)];
  if (first && second && copper.foundApart(first, second)) return { apart: 'found apart' };
  const proof = copper.proof(a.ref.name, b.ref.name);
  return proof && proof.weakest !== 'assumed' ? { joined: proof.joins.map(joinText) } : {};
}
