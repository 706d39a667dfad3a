import { foldPinName, inferPin } from '../../board/pin-roles';
import type { Pinout, PinSpec } from '../../board/pinout';
import type { Row } from './table';

/** What the model reads of a data-sheet pin: pins alike in all of it are weighed as one. */
export interface PinType {
  /** Its role and those of its alternates; empty where any of them is unknown: then nothing seen speaks for or against it. */
  readonly rows: readonly Row[];
  readonly channel: 'left' | 'right' | 'mono' | undefined;
  readonly volts: { readonly min: number; readonly max: number } | undefined;
  readonly bias: number | undefined;
  readonly frequency: number | undefined;
  /**
   * VSS, charge pump: a ground on a ground, a supply on a supply stated to be `negative`; V− and VEE on any supply that is not stated
   * to be `positive`.
   */
  readonly below: 'negative' | 'not-positive' | undefined;
  /** Equal for equal types. */
  readonly key: string;
}

/** Names, folded, that say more than the role they stand for. */
const finer: readonly (readonly [PinSpec['role'], RegExp, Row])[] = [
  ['data', /^(USB)?D[PM+-]$|^USBD[PM+-]$|^UD[PM+-]$/, 'usb'],
  [
    'data',
    /^(SDA|SCL|[TR]XD?\d*|BC?L?CK|BCLK|LRC(L?K)|WS|WCLK|FSYNC|SD(IN|OUT|I|O)|D(IN|OUT)|MISO|MOSI|SCL?K|SPI\w*|I2[SC]\w*)$/,
    'bus',
  ],
  ['data', /^(GPIO\w*|IO\d+|P[A-F]\d+)$/, 'port'],
  ['audio-in', /^MIC/, 'microphone'],
  ['audio-out', /^HP|^PHONE/, 'phones'],
  ['audio-out', /^SP|^BTL|^RCV|^EP[PN+-]$/, 'speaker'],
  ['clock', /^(XO|XOUT|XTA?LO(UT)?|XTO|OSCO(UT)?|XTAL2|OSC2|X2|XT2|X32KOUT)$/, 'crystal-out'],
  ['control', /RST|RES/, 'reset'],
  ['supply', /^(VBUS|V5|USB5V|5V)/, 'usb-power'],
  ['supply', /^(VBAT|BAT)\d*$/, 'battery'],
  ['supply', /^(VCORE|VDDC|DCVDD|VDD18|1V8)/, 'core'],
];
/** The row of a role under a folded name. */
const rowOf = (role: PinSpec['role'], name: string): Row | undefined =>
  finer.find(([of, pattern]) => of === role && pattern.test(name))?.[2] ?? role;

/** Supplies whose name says what they carry, without a row of their own: a number in the name; logic and analogue ones stay below 3.6 V. */
const named: readonly (readonly [RegExp, number, number])[] = [
  [/^(VDD33|VCC33|3V3)/, 3, 3.6],
  [/^(VDDIO|VCCIO|IOVDD|VIO|DVDD|AVDD|AVCC|VDDA|VCCA)/, 1.6, 3.6],
];
function saidByName(name: string): PinType['volts'] {
  const hit = named.find(([pattern]) => pattern.test(name));
  return hit && { min: hit[1], max: hit[2] };
}

function belowGround(name: string): PinType['below'] {
  if (/VEE|^V-/.test(name)) return 'not-positive';
  return /VSS|VNEG/.test(name) ? 'negative' : undefined;
}

const powers = new Set<PinSpec['role']>(['ground', 'supply', 'supply-out']);

/** A library repeats few pins many times: alike ones are read once, by name, and types alike are one object. */
const read = new Map<string | undefined, { readonly spec: PinSpec; readonly type: PinType }[]>();
const types = new Map<string, PinType>();
let count = 0;
const mostRead = 5000;

const alike = (a: PinSpec, b: PinSpec): boolean =>
  a.role === b.role &&
  a.roleStated === b.roleStated &&
  a.channel === b.channel &&
  a.bias === b.bias &&
  a.frequency === b.frequency &&
  a.volts?.min === b.volts?.min &&
  a.volts?.max === b.volts?.max &&
  a.alternates.length === b.alternates.length &&
  a.alternates.every((name, at) => name === b.alternates[at]);

/** The type of one pin: the same object for pins alike. */
export function pinType(spec: PinSpec): PinType {
  let named = read.get(spec.name);
  if (named) for (const one of named) if (alike(one.spec, spec)) return one.type;
  if (count >= mostRead) {
    read.clear();
    types.clear();
    count = 0;
    named = undefined;
  }
  const made = typeOf(spec);
  const type = types.get(made.key) ?? made;
  types.set(type.key, type);
  if (named) named.push({ spec, type });
  else read.set(spec.name, [{ spec, type }]);
  count++;
  return type;
}

function typeOf(spec: PinSpec): PinType {
  const name = spec.name === undefined ? '' : foldPinName(spec.name);
  const rows = [
    rowOf(spec.role, name),
    ...spec.alternates.map((other) => rowOf(inferPin(other).role, foldPinName(other))),
  ];
  const known = rows.every((row) => row !== undefined) ? [...new Set(rows as Row[])].sort() : [];
  const supply = spec.role === 'supply' || spec.role === 'supply-out';
  const volts = spec.volts ? { min: spec.volts.min, max: spec.volts.max } : supply ? saidByName(name) : undefined;
  const below = spec.roleStated || !powers.has(spec.role) ? undefined : belowGround(name);
  const { channel, bias, frequency } = spec;
  return {
    rows: known,
    channel,
    volts,
    bias,
    frequency,
    below,
    key: `${known.join('/')} ${channel ?? ''} ${volts?.min ?? ''} ${volts?.max ?? ''} ${bias ?? ''} ${frequency ?? ''} ${below ?? ''}`,
  };
}

/** A pin the pinout leaves out, or whose name says nothing: no observation speaks for or against it. */
export const unknownType: PinType = {
  rows: [],
  channel: undefined,
  volts: undefined,
  bias: undefined,
  frequency: undefined,
  below: undefined,
  key: '',
};

const known = new WeakMap<Pinout, readonly PinType[]>();

/** The types of a pinout's pins, in its order. Worked out once for each pinout. */
export function typeList(pinout: Pinout): readonly PinType[] {
  let list = known.get(pinout);
  if (!list) {
    const made: PinType[] = [];
    for (const spec of pinout.pins.values()) made.push(pinType(spec));
    list = made;
    known.set(pinout, list);
  }
  return list;
}

const keyed = new WeakMap<Pinout, ReadonlyMap<string, PinType>>();

/** The same by data-sheet key. */
export function pinTypes(pinout: Pinout): ReadonlyMap<string, PinType> {
  let types = keyed.get(pinout);
  if (!types) {
    const list = typeList(pinout);
    types = new Map([...pinout.pins.keys()].map((key, at) => [key, list[at]!]));
    keyed.set(pinout, types);
  }
  return types;
}
