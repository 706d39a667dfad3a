import { type CopperNode, type Join, joinText } from '../../board/copper';
import { roleOf } from '../../board/roles';
import type { Check, Draft } from '../check';

/** Net roles that cannot share copper; grounds, supplies and channels have sharper checks of their own. */
const exclusive = new Set(['audio-out', 'audio-in', 'clock', 'antenna', 'data', 'control', 'reference', 'mains']);

export const pinJoinedTwice: Check = {
  name: 'pin-joined-twice',
  reads: 'copper',
  page: {
    meaning: 'One point stands twice in a join, or joins put nets together that are for different things.',
    causes: 'A slip while writing; a beep through a coil, a low resistor or a charged capacitor taken for copper.',
    next: 'Take the joins named in the finding one by one and buzz them again, board unpowered.',
    source: 'Common practice, no source.',
    blind:
      'Nets without a role or channel conflict with nothing. Where a ground, supply or channel check speaks about the same node, this one is silent.',
  },
  run({ board }, told) {
    const drafts: Draft[] = [];
    const copper = board.at();
    for (const join of copper.joins) {
      const seen = new Set<string>();
      for (const point of join.points) {
        if (seen.has(point.ref.name))
          drafts.push({
            span: point.span,
            message: `${point.text} stands twice in this join.`,
            at: [point.ref.name],
            evidence: [joinText(join)],
          });
        seen.add(point.ref.name);
      }
    }
    for (const node of copper.nodes) {
      const roles = node.nets.filter((net) => net.role !== undefined);
      const [first] = roles;
      const other = roles.find((net) => first && conflict(first.role!, net.role!, node));
      if (!first || !other) continue;
      if (told.some((finding) => finding.at.some((point) => node.points.includes(point)) && sharper.has(finding.check)))
        continue;
      const proof = copper.proof(first.name, other.name);
      const joins: readonly Join[] = proof?.joins ?? [];
      const at = joins[joins.length - 1]?.span ?? other.keySpan;
      drafts.push({
        span: at,
        message: `${first.name} (${first.role}) and ${other.name} (${other.role}) are one piece of copper here.`,
        at: [first.name, other.name],
        joins,
        related: [
          { span: first.keySpan, message: `${first.name} is ${first.role}` },
          { span: other.keySpan, message: `${other.name} is ${other.role}` },
        ],
      });
    }
    return drafts;
  },
};

const sharper = new Set(['supply-short', 'ground-miswired', 'channel-crossed', 'bridge-grounded', 'supply-conflict']);

function conflict(a: string, b: string, node: CopperNode): boolean {
  if (a === b) return false;
  if (exclusive.has(a) && exclusive.has(b)) return true;
  // A ground or supply on a line of another kind is a strap where only control, data or inputs sit; on an output it is not.
  const rail = [a, b].find((role) => role === 'ground' || role === 'supply' || role === 'supply-out');
  const line = [a, b].find((role) => exclusive.has(role));
  if (!rail || !line) return false;
  if (line === 'audio-out' || line === 'clock' || line === 'antenna' || line === 'mains') return true;
  return node.pins.some((pin) => roleOf(pin, node) === 'audio-out');
}
