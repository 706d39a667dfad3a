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
];
/** The row of a role under a folded name. */
const rowOf = (role: PinSpec['role'], name: string): Row | undefined =>
  finer.find(([of, pattern]) => of === role && pattern.test(name))?.[2] ?? role;

/**
 * Supplies whose name says what they carry: USB 2.0 with its 2014 raised maximum; one lithium cell; core rails, which are low; a
 * number in the name; logic and analogue supplies, which stay below 3.6 V.
 */
const named: readonly (readonly [RegExp, number, number])[] = [
  [/^(VBUS|V5|USB5V|5V)/, 4.35, 5.5],
  [/^(VBAT|BAT)\d*$/, 2.5, 4.5],
  [/^(VCORE|VDDC|DCVDD|VDD18|1V8)/, 0.8, 2],
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

/** What a role and a name say together. */
interface Said {
  readonly row: Row | undefined;
  readonly volts: PinType['volts'];
  readonly below: PinType['below'];
}

/** A library repeats few names on many pins: what was said by the last of them is kept. */
const said = new Map<string, Said>();
const mostSaid = 5000;

function saidOf(role: PinSpec['role'], name: string | undefined): Said {
  const key = `${role ?? ''} ${name ?? ''}`;
  let known = said.get(key);
  if (!known) {
    const folded = name === undefined ? '' : foldPinName(name);
    known = {
      row: rowOf(role, folded),
      volts: role === 'supply' || role === 'supply-out' ? saidByName(folded) : undefined,
      below: powers.has(role) ? belowGround(folded) : undefined,
    };
    if (said.size >= mostSaid) said.clear();
    said.set(key, known);
  }
  return known;
}

/** The type of one pin. */
export function pinType(spec: PinSpec): PinType {
  const own = saidOf(spec.role, spec.name);
  const rows = [own.row, ...spec.alternates.map((name) => saidOf(inferPin(name).role, name).row)];
  const known = rows.every((row) => row !== undefined) ? [...new Set(rows as Row[])].sort() : [];
  const volts = spec.volts ? { min: spec.volts.min, max: spec.volts.max } : own.volts;
  const below = spec.roleStated ? undefined : own.below;
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

const known = new WeakMap<Pinout, ReadonlyMap<string, PinType>>();

/** The types of a pinout's pins, by data-sheet key. Worked out once for each pinout. */
export function pinTypes(pinout: Pinout): ReadonlyMap<string, PinType> {
  let types = known.get(pinout);
  if (!types) {
    types = new Map([...pinout.pins].map(([key, spec]) => [key, pinType(spec)]));
    known.set(pinout, types);
  }
  return types;
}
