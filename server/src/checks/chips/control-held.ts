import { againstGround } from '../../board/against-ground';
import type { Copper, CopperNode, PinOnNode } from '../../board/copper';
import { isReadingCurrent } from '../../board/currency';
import { foldPinName } from '../../board/pin-roles';
import { isGround, isSupply, pinText, roleOf } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft, Snapshot } from '../check';
import { sightings } from '../supply/sightings';

/** Below this a line is low whatever the family; above this share of its supply it is high. JESD8 levels (0.8 V; 0.65·VDD), from memory. */
const low = 0.4;
const high = 0.7;
/** Share by which a line that sits at a lower supply of its chip may be off it. Common practice, no source. */
const near = 0.05;

export const controlHeld: Check = {
  name: 'control-held',
  reads: 'copper',
  page: {
    meaning: 'A reset, mute, standby or enable pin sits at the level that stops the chip: it cannot play.',
    causes:
      'A pull-up that is missing; a strap for another mode; the controller that should release it does not run; a shorted capacitor at the reset pin.',
    next: 'Measure the pin while switching on; lift what holds it, or follow it to what should release it.',
    source: 'The pin’s `active` level, or the mark in its name (n, /, #, _N); logic levels of JESD8, from memory.',
    blind:
      'A pin whose active level nobody states is not judged, but for EN and ENABLE, which are taken as high. A pull-down that something else may override is no hold: copper or a strap up to 10 Ω, or a reading, is.',
  },
  run(snapshot) {
    const copper = snapshot.board.at();
    return copper.nodes.flatMap((node) =>
      node.pins.flatMap((pin): Draft[] => {
        if (!pin.part.fitted || roleOf(pin, node) !== 'control') return [];
        const stops = stoppingLevel(pin);
        const level = stops && levelOf(snapshot, copper, node, pin);
        if (!level || level.is !== stops) return [];
        return [
          {
            span: level.span ??
              copper.joins.find((join) => join.points.some((point) => point.ref.name === pin.name))?.span ?? {
                start: 0,
                end: 0,
              },
            message: `${pinText(pin)} sits ${stops} (${level.text}), which stops ${pin.part.designator}.`,
            at: [pin.name],
            evidence: level.evidence,
            joins: level.point === undefined ? [] : (copper.proof(pin.name, level.point)?.joins ?? []),
          },
        ];
      }),
    );
  },
};

/** The level at which a control pin stops its chip; undefined where its sense is not known. */
function stoppingLevel(pin: PinOnNode): 'low' | 'high' | undefined {
  const name = foldPinName(pin.spec?.name ?? '')
    .replace(/#$/, '')
    .replace(/^N(?=RST|RESET|SHDN|EN|MUTE|STBY|PD)/, '');
  const enables = /^(EN|ENABLE|CE|PWRON)/.test(name);
  const halts = /^(X?RES|RESET|RST|SHDN|SHUTDOWN|SHUT|SD|STBY|STANDBY|MUTE|SMUTE|PD|PDN|PWDN)/.test(name);
  const active = pin.spec?.active ?? (/^EN(ABLE)?$/.test(name) ? 'high' : undefined);
  if (active === undefined || (!enables && !halts)) return undefined;
  if (halts) return active;
  return active === 'high' ? 'low' : 'high';
}

interface Level {
  readonly is: 'low' | 'high';
  readonly text: string;
  readonly evidence: readonly string[];
  readonly span?: Draft['span'];
  readonly point?: string;
}

function levelOf(snapshot: Snapshot, copper: Copper, node: CopperNode, pin: PinOnNode): Level | undefined {
  const { board } = snapshot;
  for (const reading of board.readings) {
    const read = reading.kind === 'dc' ? againstGround(reading, copper) : undefined;
    if (!read || copper.node(read.point.ref.name) !== node || !isReadingCurrent(board, reading)) continue;
    const { point, value } = read;
    const common = {
      text: `${point.text} reads ${formatQuantity(value, 'V')}`,
      evidence: [reading.label],
      span: reading.span,
      point: point.ref.name,
    };
    const supplies = suppliesOf(snapshot, pin);
    // Without its supply a chip's pins are low, whatever holds them.
    if (Math.abs(value) < low)
      return supplies.length > 0 && Math.max(...supplies) < low ? undefined : { is: 'low', ...common };
    const [most] = supplies;
    if (most !== undefined && (value > high * most || supplies.some((volts) => Math.abs(value / volts - 1) < near)))
      return { is: 'high', ...common };
    return undefined;
  }
  const others = node.pins.filter((other) => other !== pin);
  if (isGround(node)) {
    const net =
      node.nets.find((candidate) => candidate.role === 'ground')?.name ??
      others.find((other) => roleOf(other, node) === 'ground' || other.duty === 'ground')?.name;
    return { is: 'low', text: `joined to ${net ?? node.name}`, evidence: [], ...(net !== undefined && { point: net }) };
  }
  if (isSupply(node)) {
    const net =
      node.nets.find((candidate) => candidate.role === 'supply' || candidate.role === 'supply-out')?.name ??
      others.find((other) => other.duty === 'power')?.name;
    return {
      is: 'high',
      text: `joined to ${net ?? node.name}`,
      evidence: [],
      ...(net !== undefined && { point: net }),
    };
  }
  return undefined;
}

/** V of the supplies of the same chip, read or stated, highest first: the level may be that of any. */
function suppliesOf(snapshot: Snapshot, pin: PinOnNode): number[] {
  const volts = snapshot.board.at().nodes.flatMap((node) => {
    const feeds = node.pins.some((other) => other.part === pin.part && roleOf(other, node) === 'supply');
    return feeds ? sightings(snapshot, node).map(({ min, max }) => (min + max) / 2) : [];
  });
  return volts.sort((a, b) => b - a);
}
