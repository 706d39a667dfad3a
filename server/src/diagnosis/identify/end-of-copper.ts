import type { CopperNode, PinOnNode } from '../../board/copper';
import type { Part } from '../../board/part';
import { isNegative, roleOf } from '../../board/roles';
import type { CopperKind, Side } from './seen';

/** What a piece of copper is by itself, and the point it is known by. */
export interface End {
  readonly kind: CopperKind;
  readonly side?: Side;
  readonly to: string;
}

const netKinds: Readonly<Record<string, CopperKind>> = {
  ground: 'ground',
  chassis: 'ground',
  supply: 'supply',
  'supply-out': 'supply',
  'audio-out': 'audio-straight',
  'audio-in': 'audio-in',
  reference: 'reference',
  clock: 'clock',
  antenna: 'antenna',
  data: 'data',
  control: 'control',
};
const dutyKinds: Readonly<Record<string, CopperKind>> = {
  ground: 'ground',
  power: 'supply',
  left: 'audio-straight',
  right: 'audio-straight',
  mono: 'audio-straight',
  hot: 'audio-straight',
  cold: 'audio-straight',
  common: 'common',
  shell: 'common',
  microphone: 'audio-in',
  data: 'data',
  switch: 'control',
};
const partKinds: Partial<Record<NonNullable<Part['kind']>, CopperKind>> = {
  crystal: 'clock',
  antenna: 'antenna',
  loudspeaker: 'audio-straight',
  microphone: 'audio-in',
  led: 'led',
};
/** What a pin of another chip says about the pin it is joined to: an input is fed by an output. */
const roleKinds: Readonly<Record<string, CopperKind>> = {
  ground: 'ground',
  supply: 'supply',
  'supply-out': 'supply',
  'audio-in': 'audio-straight',
  'audio-out': 'audio-in',
  clock: 'clock',
  antenna: 'antenna',
  reference: 'reference',
};
/** Lines between chips say little of what they carry. */
const lines = new Set(['data', 'control', 'test']);

/** Grounds and supplies first: they are what a node is, whatever else is on it. */
const order = (end: End): number =>
  end.kind === 'ground' ? 0 : end.kind === 'supply' ? 1 : end.kind === 'line' ? 3 : 2;

const sideOf = (text: string | undefined): { side: Side } | Record<never, never> =>
  text === 'left' || text === 'right' || text === 'mono' ? { side: text } : {};

function ofPin(pin: PinOnNode, node: CopperNode): End | undefined {
  const { part, duty, name } = pin;
  if (part.kind === 'cell') return { kind: pin.pin === '1' ? 'supply' : 'ground', to: name };
  const byDuty = duty && dutyKinds[duty];
  if (byDuty) return { kind: byDuty, to: name, ...sideOf(duty) };
  // The case of an electret: ground, or one leg of two; by itself it says neither.
  if (part.kind === 'microphone' && pin.pin === '2') return undefined;
  const byPart = part.kind && partKinds[part.kind];
  if (byPart) return { kind: byPart, to: name };
  if (part.kind === 'connector') return { kind: 'line', to: name };
  if (part.kind !== 'chip' && part.kind !== 'regulator' && part.kind !== 'op-amp') return undefined;
  const role = roleOf(pin, node);
  const kind = role && (roleKinds[role] ?? (lines.has(role) ? 'line' : undefined));
  return { kind: kind ?? 'line', to: name, ...(role === 'audio-in' ? sideOf(pin.spec?.channel) : {}) };
}

/** The node without the pins of one part: what is asked is what they are, so they may not answer. */
export const without = (node: CopperNode, part: Part): CopperNode => ({
  ...node,
  pins: node.pins.filter((pin) => pin.part !== part && pin.part.fitted),
});

/**
 * What a piece of copper is by its nets, contacts, and the pins of other parts on it; undefined where nothing on it says.
 * Nets come before contacts, and contacts before the pins of other chips, whose data sheets may themselves be in doubt.
 */
export function endOf(node: CopperNode, part: Part): End | undefined {
  const bare = without(node, part);
  const ends: End[] = [];
  for (const net of bare.nets) {
    const kind = net.role === undefined ? undefined : netKinds[net.role];
    if (kind) ends.push({ kind, to: net.name, ...sideOf(net.channel) });
  }
  const rank = (pin: PinOnNode) => (pin.part.kind === 'chip' || pin.part.kind === 'connector' ? 1 : 0);
  const pins = [...bare.pins].sort((a, b) => rank(a) - rank(b));
  for (const pin of pins) {
    const end = ofPin(pin, bare);
    if (end) ends.push(end);
  }
  if (ends.length === 0 && isNegative(bare)) return { kind: 'supply', to: bare.nets[0]!.name };
  return ends.reduce<End | undefined>((best, end) => (best && order(best) <= order(end) ? best : end), undefined);
}
