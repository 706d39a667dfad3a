import type { Copper, CopperNode, PinOnNode } from '../../board/copper';
import type { Part } from '../../board/part';
import { channelOf, joinsAlong, otherLeg, outputs, pathsFrom, pathText, type SignalPath } from '../../board/paths';
import type { Check, Draft } from '../check';

export const channelCrossed: Check = {
  name: 'channel-crossed',
  reads: 'copper',
  page: {
    meaning:
      'By copper, the left output reaches the right contact, or the other way round; or nets of both sides are one.',
    causes:
      'Tip and ring exchanged while writing; a connector seen from its other face; a pinout whose left and right are exchanged.',
    next: 'Play on the left alone and look which contact carries it.',
    source:
      'Tip left, ring right, sleeve common: convention of three-pole stereo plugs (reference: IEC 61938 practice).',
    blind:
      'Where both outputs reach a contact (a mono sum) or one output feeds both contacts on purpose, it says nothing; nor where tip and ring are one but nothing shows outputs of both sides to meet there. Outputs and contacts without a side are not judged.',
  },
  run({ board }) {
    const copper = board.at();
    return [...fused(copper), ...crossings(copper)];
  },
};

const opposite = { left: 'right', right: 'left' } as const;

/**
 * Nets, or a net and a contact, of opposite sides on one node. Contacts alone may share one output on purpose (mono in both ears):
 * they are a finding only where outputs of both sides come together in them.
 */
function fused(copper: Copper): Draft[] {
  const drafts = new Map<string, Draft>();
  for (const node of copper.nodes) {
    const sides = sidesOn(node);
    if (sides.every((side) => side.contact) && !bothSidesReach(copper, node)) continue;
    const left = sides.find((side) => side.channel === 'left');
    const right = sides.find((side) => side.channel === 'right');
    if (!left || !right) continue;
    const joins = copper.proof(left.name, right.name)?.joins ?? [];
    const text = `${left.name} (left) and ${right.name} (right) are one piece of copper.`;
    // Tip and ring exchanged put two pairs together at one connector: one finding.
    const key = (left.contact ?? right.contact)?.designator ?? node.name;
    const before = drafts.get(key);
    drafts.set(key, {
      span: before?.span ?? joins[joins.length - 1]?.span ?? node.nets[0]?.keySpan ?? { start: 0, end: 0 },
      message: before ? `${before.message} ${text}` : text,
      at: [...(before?.at ?? []), left.name, right.name],
      joins: [...(before?.joins ?? []), ...joins],
    });
  }
  return [...drafts.values()];
}

function bothSidesReach(copper: Copper, node: CopperNode): boolean {
  const reaching = outputs(copper).flatMap(({ pin, node: start }) =>
    pathsFrom(copper, pin, start).some((path) => path.end === node) ? [channelOf(pin)] : [],
  );
  return reaching.includes('left') && reaching.includes('right');
}

function sidesOn(node: CopperNode): { name: string; channel: 'left' | 'right'; contact: Part | undefined }[] {
  const sides: { name: string; channel: 'left' | 'right'; contact: Part | undefined }[] = [];
  for (const net of node.nets)
    if (net.channel === 'left' || net.channel === 'right')
      sides.push({ name: net.name, channel: net.channel, contact: undefined });
  for (const pin of node.pins)
    if (pin.part.fitted && (pin.duty === 'left' || pin.duty === 'right'))
      sides.push({ name: pin.name, channel: pin.duty, contact: pin.part });
  return sides;
}

/** Outputs that reach the contact of the other side, and not their own; a pair of them at one connector is one finding. */
function crossings(copper: Copper): Draft[] {
  const reached = new Map<CopperNode, Set<'left' | 'right'>>();
  const found: { pin: PinOnNode; channel: 'left' | 'right'; paths: SignalPath[] }[] = [];
  for (const { pin, node } of outputs(copper)) {
    const channel = otherLeg(pin) === undefined ? channelOf(pin) : undefined;
    if (channel === undefined) continue;
    const paths = pathsFrom(copper, pin, node).filter((path) => path.carries === 'left' || path.carries === 'right');
    for (const path of paths) reached.set(path.end, (reached.get(path.end) ?? new Set()).add(channel));
    found.push({ pin, channel, paths });
  }
  const drafts = new Map<string, Draft>();
  for (const { pin, channel, paths } of found) {
    if (paths.some((path) => path.carries === channel)) continue;
    for (const path of paths) {
      if (path.carries !== opposite[channel] || reached.get(path.end)?.has(opposite[channel])) continue;
      // A node that is fused with its own side has been told already.
      const sides = sidesOn(path.end);
      if (sides.some((side) => side.channel === channel)) continue;
      const end = path.contact ?? undefined;
      const key = end?.part.designator ?? path.end.name;
      const text = `${pin.spec?.name ?? pin.name} (${channel}) reaches ${end?.name ?? path.end.name} (${path.carries}) by ${pathText(path)}`;
      const joins = joinsAlong(copper, path);
      const before = drafts.get(`${pin.part.designator} ${key}`);
      drafts.set(
        `${pin.part.designator} ${key}`,
        before
          ? {
              ...before,
              message: `${before.message.slice(0, -1)}; ${text}.`,
              at: [...before.at!, pin.name, end?.name ?? path.end.name],
              joins: [...before.joins!, ...joins],
            }
          : {
              span: joins[joins.length - 1]?.span ?? pin.part.declared?.keySpan ?? { start: 0, end: 0 },
              message: `In copper, ${text}.`,
              at: [pin.name, end?.name ?? path.end.name],
              joins,
            },
      );
    }
  }
  return [...drafts.values()];
}
