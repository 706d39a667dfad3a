import type { PinRole } from '../../board/pin-roles';
import { pinText, roleOf } from '../../board/roles';
import { observe } from '../../diagnosis/identify/observe';
import { pinTypes } from '../../diagnosis/identify/pin-type';
import type { CopperKind } from '../../diagnosis/identify/seen';
import { roleContradicted } from '../../diagnosis/identify/verdict';
import type { Check, Draft } from '../check';
import { judged, weighed } from './identified';

export const pinRoleContradicted: Check = {
  name: 'pin-role-contradicted',
  reads: 'figures',
  page: {
    meaning:
      'Copper shows a pin to be something else than its data sheet says: a clock pin at the antenna, an output on a supply.',
    causes: 'The pins counted from the wrong corner; a sibling’s data sheet; a slip while writing; a wrong beep.',
    next: 'Buzz the pin again; then hold the other candidates and numberings of the part against the copper: `buzzout identify`.',
    source: 'What pins of each role lead to, five times less often than any pin does: common practice, no source.',
    blind:
      'Straps to ground or supply of control, data, test, input and unused pins are none. A pin with alternates is contradicted only if all of them are. What is reached through parts is not held against a pin. Grounds, supplies and bridge legs have sharper checks, which speak instead; so do another pinout or numbering that fits.',
  },
  run(snapshot, told) {
    const { board } = snapshot;
    const copper = board.at();
    const at = (...names: string[]) =>
      new Set(told.filter((finding) => names.includes(finding.check)).flatMap((finding) => finding.at));
    const sharper = at('ground-miswired', 'supply-short', 'bridge-grounded', 'channel-crossed');
    const shorted = at('supply-short');
    const explained = new Set(
      judged(snapshot).flatMap(({ part, standing: { turned, other } }) => (turned || other ? [part] : [])),
    );
    const known = new Map(weighed(snapshot).map(({ part, seen }) => [part, seen]));
    return [...copper.parts.values()].flatMap((part) => {
      if (!part.fitted || !part.pinout || explained.has(part)) return [];
      const types = pinTypes(part.pinout);
      return (known.get(part) ?? observe(board, part)).flatMap(({ pin: key, copper: seen }): Draft[] => {
        const type = types.get(key);
        const node = copper.nodeOf(part, key);
        const pin = node?.pins.find((one) => one.part === part && one.pin === key);
        if (!type || !seen?.to || !pin || !node || sharper.has(pin.name)) return [];
        if (node.points.some((point) => shorted.has(point)) || !roleContradicted(seen, type)) return [];
        const role = roleOf(pin, node);
        const joins = seen.joins ?? [];
        return [
          {
            span: joins[0]?.span ?? part.declared?.keySpan ?? { start: 0, end: 0 },
            message: `${pinText(pin)} is ${(role && roles[role]) ?? `a ${role} pin`} by its data sheet, but copper joins it to ${seen.to}, ${kinds[seen.kind]}.`,
            at: [pin.name, seen.to],
            joins,
            ...(pin.spec &&
              pin.spec.file !== board.file && {
                related: [{ file: pin.spec.file, span: pin.spec.span, message: 'what the data sheet says' }],
              }),
          },
        ];
      });
    });
  },
};

const roles: Partial<Record<PinRole, string>> = {
  'audio-out': 'an audio output',
  'audio-in': 'an audio input',
  'supply-out': 'a supply output',
  antenna: 'an antenna pin',
};

const kinds: Partial<Record<CopperKind, string>> = {
  ground: 'a ground',
  supply: 'a supply',
  clock: 'a crystal or clock',
  antenna: 'an antenna',
  'audio-straight': 'where audio leaves',
  'audio-in': 'where audio arrives',
  common: 'a common contact',
  data: 'a data contact or line',
};
