import type { CopperNode, PinOnNode } from '../../board/copper';
import { otherLeg } from '../../board/paths';
import type { PinRole } from '../../board/pin-roles';
import { inferPin } from '../../board/pin-roles';
import { groundSign, isSupply, pinText, roleOf } from '../../board/roles';
import type { Check, Draft } from '../check';

export const pinRoleContradicted: Check = {
  name: 'pin-role-contradicted',
  reads: 'copper',
  page: {
    meaning:
      'Copper shows a pin to be something else than its data sheet says: a clock pin at the antenna, an output on a supply.',
    causes: 'The pins counted from the wrong corner; a sibling’s data sheet; a slip while writing; a wrong beep.',
    next: 'Buzz the pin again; then try the other candidates and numberings of the part.',
    source: 'Common practice, no source.',
    blind:
      'Straps to ground or supply of control, data, test, input and unused pins are none. A pin with alternates is contradicted only if all of them are. Grounds, supplies and bridge legs have sharper checks, which speak instead.',
  },
  run({ board }, told) {
    const copper = board.at();
    const sharper = new Set(
      told
        .filter((finding) =>
          ['ground-miswired', 'supply-short', 'bridge-grounded', 'channel-crossed'].includes(finding.check),
        )
        .flatMap((finding) => finding.at),
    );
    const shorted = new Set(
      told.filter((finding) => finding.check === 'supply-short').flatMap((finding) => finding.at),
    );
    return copper.nodes.flatMap((node) =>
      node.pins.flatMap((pin): Draft[] => {
        if (!pin.part.fitted || !pin.spec || sharper.has(pin.name)) return [];
        if (node.points.some((point) => shorted.has(point))) return [];
        const roles = possibleRoles(pin, node);
        if (roles.length === 0) return [];
        const clashes = roles.map((role) => clash(role, pin, node));
        const first = clashes[0];
        if (!first || clashes.some((found) => found === undefined)) return [];
        const joins = copper.proof(pin.name, first.point)?.joins ?? [];
        return [
          {
            span: joins[0]?.span ?? pin.part.declared?.keySpan ?? { start: 0, end: 0 },
            message: `${pinText(pin)} is ${article(roles[0]!)} by its data sheet, but copper joins it to ${first.point}, ${first.what}.`,
            at: [pin.name, first.point],
            joins,
            ...(pin.spec.file !== board.file && {
              related: [{ file: pin.spec.file, span: pin.spec.span, message: 'what the data sheet says' }],
            }),
          },
        ];
      }),
    );
  },
};

const article = (role: PinRole): string =>
  ({
    'audio-out': 'an audio output',
    'audio-in': 'an audio input',
    'supply-out': 'a supply output',
    'not-connected': 'not connected',
    'do-not-connect': 'to be left alone',
    antenna: 'an antenna pin',
    control: 'a control pin',
    data: 'a data pin',
    test: 'a test pin',
  })[role as string] ?? `a ${role} pin`;

/** Its role and those of its alternates; empty where any of them is unknown. */
function possibleRoles(pin: PinOnNode, node: CopperNode): PinRole[] {
  const own = roleOf(pin, node);
  const others = pin.spec!.alternates.map((name) => inferPin(name).role);
  const roles = [own, ...others];
  return roles.every((role) => role !== undefined) ? (roles as PinRole[]) : [];
}

/** Roles a strap to ground or supply does not contradict. */
const strappable = new Set<PinRole>([
  'control',
  'data',
  'test',
  'audio-in',
  'not-connected',
  'do-not-connect',
  'reference',
]);
const exclusive = new Set<string>(['audio-out', 'audio-in', 'clock', 'antenna']);

/** What on the node says that a pin of this role does not belong there. */
function clash(role: PinRole, pin: PinOnNode, node: CopperNode): { point: string; what: string } | undefined {
  const others = node.pins.filter((other) => other !== pin && other.part.fitted && other.part !== pin.part);
  const sign = groundSign(node);
  if (
    (sign === 'net' || sign === 'contact') &&
    (role === 'audio-out' || role === 'antenna' || role === 'supply-out') &&
    otherLeg(pin) === undefined
  ) {
    // A radio pin may be at ground through its matching; direct copper is what counts here.
    const ground =
      node.nets.find((net) => net.role === 'ground')?.name ?? node.pins.find((other) => other.duty === 'ground')?.name;
    if (ground !== undefined) return { point: ground, what: 'a ground' };
  }
  if (!strappable.has(role) && role !== 'supply' && role !== 'supply-out' && role !== 'ground' && isSupply(node)) {
    const supply =
      node.nets.find((net) => net.role === 'supply' || net.role === 'supply-out')?.name ??
      node.pins.find((other) => other.duty === 'power')?.name;
    if (supply !== undefined) return { point: supply, what: 'a supply' };
  }
  for (const net of node.nets)
    if (net.role !== undefined && exclusive.has(net.role) && net.role !== role && role !== 'ground' && !soft(role))
      return { point: net.name, what: `which is for ${net.role}` };
  const crystal = others.find((other) => other.part.kind === 'crystal' && sign === undefined);
  if (crystal && role !== 'clock' && !soft(role) && role !== 'ground')
    return { point: crystal.name, what: 'a crystal' };
  const antenna = others.find((other) => other.part.kind === 'antenna');
  if (antenna && role !== 'antenna' && role !== 'ground' && !soft(role))
    return { point: antenna.name, what: 'an antenna' };
  const contact = others.find((other) => other.duty !== undefined);
  if (contact) {
    const audio = ['left', 'right', 'mono', 'hot', 'cold'].includes(contact.duty!);
    if (audio && (role === 'clock' || role === 'antenna' || role === 'supply'))
      return { point: contact.name, what: 'an audio contact' };
    if (
      contact.duty === 'data' &&
      (role === 'audio-out' || role === 'clock' || role === 'antenna' || role === 'supply')
    )
      return { point: contact.name, what: 'a data contact' };
  }
  return undefined;
}

/** Roles that may sit on a line of another kind by design: they prove nothing. */
const soft = (role: PinRole): boolean =>
  role === 'control' ||
  role === 'data' ||
  role === 'test' ||
  role === 'not-connected' ||
  role === 'do-not-connect' ||
  role === 'chassis' ||
  role === 'reference';
