import type { Part } from '../../board/part';
import type { PinRole } from '../../board/pin-roles';
import type { Pinout, PinSpec } from '../../board/pinout';
import { formatQuantity } from '../../quantity/format';
import { code, prose } from '../markdown';
import { ohms, voltRange, volts } from './quantities';

/** "U1.14 · DACL · audio-out, left (role from the name)". `role` is what it is on this board where that differs. */
export function pinTitle(name: string, spec: PinSpec, role: PinRole | undefined = spec.role): string {
  const from = spec.roleStated ? 'as the pinout states' : 'read from the name';
  const on = role !== spec.role ? 'on this board' : from;
  const side = spec.channel === undefined ? '' : `, ${spec.channel}`;
  const leg = spec.leg === undefined ? '' : `, ${spec.leg} leg`;
  return [
    `**${prose(name)}**`,
    ...(spec.name === undefined ? [] : [`**${prose(spec.name)}**`]),
    role === undefined ? 'role unknown' : `${role}${side}${leg} (${on})`,
  ].join(' · ');
}

/** What the data sheet says of a pin, a line a fact. */
export function pinFacts(spec: PinSpec, pinout: Pinout | undefined): string[] {
  const pinName = (key: string) => {
    const other = pinout?.pins.get(key)?.name;
    return other === undefined ? code(key) : `${code(key)} (${prose(other)})`;
  };
  const facts: (string | undefined)[] = [
    spec.alternates.length > 0 ? `also ${spec.alternates.map(code).join(', ')}` : undefined,
    spec.volts && `${spec.volts.ends ? 'allowed' : 'nominal'} ${voltRange(spec.volts)}`,
    spec.bias === undefined ? undefined : `rests at ${volts(spec.bias)}`,
    spec.fullScale === undefined ? undefined : `full scale ${volts(spec.fullScale)} RMS`,
    spec.impedance === undefined ? undefined : `impedance ${ohms(spec.impedance)}`,
    spec.minLoad === undefined ? undefined : `least load ${ohms(spec.minLoad)}`,
    spec.frequency === undefined ? undefined : `clock ${formatQuantity(spec.frequency, 'frequency', 6)}`,
    spec.active && `acts when ${spec.active}`,
    spec.returnPin === undefined ? undefined : `returns to pin ${pinName(spec.returnPin)}`,
    ...modeFacts(spec, pinout),
    spec.note === undefined ? undefined : prose(spec.note),
    pinout && !pinout.inline ? `pinout ${code(pinout.name)}` : undefined,
  ];
  return facts.filter((fact) => fact !== undefined && fact !== '') as string[];
}

/** What an output carries in each mode, where it differs. */
function modeFacts(spec: PinSpec, pinout: Pinout | undefined): string[] {
  return [...(pinout?.modes ?? [])].flatMap(([mode, outputs]) => {
    const weights = outputs.get(spec.key);
    if (!weights) return [];
    const share = (weight: number, side: string) =>
      weight === 0
        ? []
        : [`${weight === 1 ? '' : weight === -1 ? '−' : `${String(weight).replace('-', '−')} `}${side}`];
    const carries = [...share(weights.left, 'left'), ...share(weights.right, 'right')]
      .join(' + ')
      .replaceAll('+ −', '− ');
    return [`in mode ${code(mode)}: ${carries === '' ? 'nothing' : carries}`];
  });
}

/** What a contact of a connector carries, or a terminal of a two-ended part is; undefined for any other pin. */
export function contactText(part: Part | undefined, pin: string | undefined): string | undefined {
  const duty = pin === undefined ? undefined : part?.duty(pin);
  return duty && `contact, ${duty}`;
}
