import type { PinEntry, PinoutFile } from '../dialect/pinout-file';
import type { Problem, QuantityRange, Word } from '../dialect/type';
import type { Span } from '../text/span';
import { foldPinName, inferPin, type PinRole } from './pin-roles';

/** One pin as its data sheet (or the inline `pins` of a part) has it. Volts, ohms and hertz in base units; AC volts RMS. */
export interface PinSpec {
  readonly key: string;
  readonly name: string | undefined;
  readonly role: PinRole | undefined;
  /** Whether the role was written, rather than read from the name. */
  readonly roleStated: boolean;
  readonly channel: 'left' | 'right' | 'mono' | undefined;
  readonly leg: 'positive' | 'negative' | undefined;
  readonly volts: { readonly min: number; readonly max: number; readonly ends: boolean } | undefined;
  /** Something stands at `volts` that could not be read: nothing may be concluded from its absence. */
  readonly voltsBroken: boolean;
  readonly returnPin: string | undefined;
  readonly bias: number | undefined;
  readonly fullScale: number | undefined;
  readonly impedance: number | undefined;
  readonly minLoad: number | undefined;
  readonly frequency: number | undefined;
  readonly active: 'high' | 'low' | undefined;
  readonly alternates: readonly string[];
  readonly note: string | undefined;
  readonly file: string;
  readonly span: Span;
}

export interface Section {
  readonly name: string;
  readonly kind: 'op-amp' | 'amplifier' | 'regulator';
  readonly plus: string | undefined;
  readonly minus: string | undefined;
  readonly input: string | undefined;
  readonly out: readonly string[];
  /** In dB; undefined for an op-amp with its feedback. */
  readonly gain: number | undefined;
  readonly volts: number | undefined;
}

export type Weights = { readonly left: number; readonly right: number };

export interface Pinout {
  readonly name: string;
  readonly file: string;
  readonly span: Span;
  readonly describes: string | undefined;
  readonly packageStyle: string | undefined;
  /** How many numbered pins the package has, where stated or told by its style's number. */
  readonly pinCount: number | undefined;
  readonly markings: readonly string[];
  readonly pins: ReadonlyMap<string, PinSpec>;
  /** Mode → output pin → weights of the programmes; in the order written, the first is the default. */
  readonly modes: ReadonlyMap<string, ReadonlyMap<string, Weights>>;
  readonly sections: readonly Section[];
  /** Written inside a board's part rather than in a file of its own. */
  readonly inline: boolean;
  /** What is wrong in it beyond its text: references to pins it has not. */
  readonly problems: readonly Problem[];
}

export type PinLookup =
  | { readonly key: string }
  | {
      readonly check: 'pin-out-of-range' | 'unknown-reference';
      readonly message: string;
      readonly known: readonly string[];
    };

const padNames = new Set(['EP', 'PAD', '0']);
const padStyle = /qfn|dfn|son\b|son-|lcc|hvqfn|htssop|hsop|-ep\b|powerpad/i;

/** Pins a package style's number says it has: `sop-16` 16. Undefined without a number, or where the number is no pin count. */
export function pinsOfStyle(style: string | undefined): number | undefined {
  const match =
    style === undefined ? null : /^(?:sot-?23|sot-?223|sot-?89|to-?\d+|sc-?\d+)-?(\d)?$/i.exec(style.trim());
  if (match) return match[1] === undefined ? undefined : Number(match[1]);
  const number = style === undefined ? null : /-?(\d+)(?:-ep)?$/i.exec(style.trim());
  const count = number ? Number(number[1]) : Number.NaN;
  return count >= 2 && count <= 400 ? count : undefined;
}

/** Where a text leads among the pins: by number, by a name that names one pin, the exposed pad by any of its names. */
export function findPin(pinout: Pinout, text: string): PinLookup {
  const wanted = text.trim();
  if (pinout.pins.has(wanted)) return { key: wanted };
  const upper = wanted.toUpperCase();
  const hasPad = pinout.pins.has('EP') || padStyle.test(pinout.packageStyle ?? '');
  if (hasPad && (padNames.has(upper) || (pinout.pinCount !== undefined && wanted === String(pinout.pinCount + 1))))
    return { key: 'EP' };
  if (pinout.pins.has(upper)) return { key: upper };
  const known = [...pinout.pins.values()].flatMap((pin) => [pin.key, ...(pin.name === undefined ? [] : [pin.name])]);
  if (/^\d+$/.test(wanted)) {
    const count = pinout.pinCount;
    if (count !== undefined ? Number(wanted) >= 1 && Number(wanted) <= count : !pinout.inline) return { key: wanted };
    const least = count ?? Math.max(0, ...[...pinout.pins.keys()].map(Number).filter(Number.isFinite));
    return {
      check: 'pin-out-of-range',
      message: `There is no pin ${wanted}: ${pinout.inline ? 'the part' : pinout.name} has ${least} pins.`,
      known,
    };
  }
  const named = [...pinout.pins.values()].filter((pin) =>
    [pin.name, ...pin.alternates].some((name) => name !== undefined && foldPinName(name) === foldPinName(wanted)),
  );
  const first = named[0];
  if (named.length === 1 && first) return { key: first.key };
  if (first)
    return {
      check: 'unknown-reference',
      message: `${wanted} names ${named.length} pins of ${pinout.name}: ${named.map((pin) => pin.key).join(', ')}. Give the number.`,
      known: named.map((pin) => pin.key),
    };
  if (pinout.pins.size === 0 && pinout.pinCount === undefined) return { key: wanted };
  return {
    check: 'unknown-reference',
    message: `${pinout.inline ? 'The part' : pinout.name} has no pin called ${wanted}.`,
    known,
  };
}

const range = (value: QuantityRange | undefined) =>
  value && { min: value.min.value, max: value.max.value, ends: value.ends };

/** A pin from its written form; a scalar is its name alone. `number` is the key it stands under. */
function readPin(number: string, entry: PinEntry | undefined, file: string, span: Span): PinSpec {
  const map = entry?.map?.value;
  const name = (entry?.scalar?.value ?? map?.name?.value)?.trim() || undefined;
  const said = name === undefined ? {} : inferPin(name);
  const role = map?.role ? (map.role.value as PinRole | undefined) : said.role;
  return {
    key: number,
    name,
    role,
    roleStated: map?.role?.value !== undefined,
    channel: map?.channel ? (map.channel.value as PinSpec['channel']) : said.channel,
    leg: said.leg,
    volts: range(map?.volts?.value),
    voltsBroken: map?.volts !== undefined && map.volts.value === undefined,
    returnPin: map?.return?.value?.trim(),
    bias: map?.bias?.value?.value,
    fullScale: map?.['full-scale']?.value?.value,
    impedance: map?.impedance?.value?.value,
    minLoad: map?.['min-load']?.value?.value,
    frequency: map?.frequency?.value?.value,
    active: (map?.active?.value as PinSpec['active']) ?? said.active,
    alternates: map?.alternates?.value?.map((word) => word.text) ?? [],
    note: map?.note?.value,
    file,
    span,
  };
}

/** The pad under any of its names is `EP`; other keys stay as written, grid names in capitals. */
const pinKey = (text: string): string => {
  const upper = text.trim().toUpperCase();
  return padNames.has(upper) ? 'EP' : upper;
};

const empty = {
  describes: undefined,
  packageStyle: undefined,
  pinCount: undefined,
  markings: [],
  modes: new Map(),
  sections: [],
  problems: [],
} as const;

/** An inline pinout: names in order (1, 2, 3 …); a number alone is no name, but how many pins there are. */
export function pinoutOfNames(part: string, names: readonly Word[], file: string, span: Span): Pinout {
  const pins = new Map<string, PinSpec>();
  const [only] = names;
  if (only && names.length === 1 && /^[1-9]\d{0,2}$/.test(only.text))
    return { ...empty, name: part, file, span, pins, pinCount: Number(only.text), inline: true };
  names.forEach((word, index) => {
    const key = String(index + 1);
    pins.set(
      key,
      readPin(
        key,
        { scalar: { span: word.span, text: word.text, value: word.text }, span: word.span },
        file,
        word.span,
      ),
    );
  });
  return { ...empty, name: part, file, span, pins, pinCount: names.length, inline: true };
}

/** An inline pinout: pin → name or map. */
export function pinoutOfPins(
  part: string,
  entries: readonly { readonly key: Word; readonly value: PinEntry; readonly span: Span }[],
  file: string,
  span: Span,
): Pinout {
  const pins = new Map<string, PinSpec>();
  for (const entry of entries) {
    const key = pinKey(entry.key.text);
    if (!pins.has(key)) pins.set(key, readPin(key, entry.value, file, entry.span));
  }
  return resolveReturns({ ...empty, name: part, file, span, pins, inline: true });
}

/** The model of a pinout file; undefined while it has no name to be found by. */
export function buildPinout(parsed: PinoutFile | undefined, file: string): Pinout | undefined {
  const map = parsed?.value;
  const name = map?.pinout?.value?.trim();
  if (!map || !name) return undefined;
  const packageMap = map.package?.map?.value;
  const packageStyle = (map.package?.scalar?.value ?? packageMap?.style?.value)?.trim();
  const stated = packageMap?.pins?.value;
  const pins = new Map<string, PinSpec>();
  const pinCount = stated ?? pinsOfStyle(packageStyle);
  const problems: Problem[] = [];
  for (const entry of map.pins?.value ?? []) {
    const written = pinKey(entry.key.text);
    const key =
      pinCount !== undefined && written === String(pinCount + 1) && padStyle.test(packageStyle ?? '') ? 'EP' : written;
    if (!/^(\d+|[A-Z]{1,2}\d+|EP)$/.test(key)) {
      problems.push({
        check: 'bad-quantity',
        span: entry.key.span,
        message: `A pin is a number, a grid name such as A1, or EP, not ${entry.key.text}.`,
      });
      continue;
    }
    if (/^\d+$/.test(key) && pinCount !== undefined && Number(key) > pinCount) {
      problems.push({
        check: 'pin-out-of-range',
        span: entry.key.span,
        message: `There is no pin ${key}: the package has ${pinCount} pins.`,
      });
      continue;
    }
    if (!pins.has(key)) pins.set(key, readPin(key, entry.value, file, entry.span));
  }
  const draft: Pinout = {
    ...empty,
    name,
    file,
    span: map.pinout!.span,
    describes: map.describes?.value,
    packageStyle,
    pinCount,
    markings: (map.markings?.value ?? []).flatMap((marking) => marking.value ?? []),
    pins,
    inline: false,
  };
  const refer = (text: string, at: Span): string | undefined => {
    const found = findPin(draft, text);
    if ('key' in found) return found.key;
    problems.push({ check: found.check, span: at, message: found.message });
    return undefined;
  };
  const modes = new Map<string, Map<string, Weights>>();
  for (const mode of map.modes?.value ?? []) {
    const weights = new Map<string, Weights>();
    for (const output of mode.value.value ?? []) {
      const key = refer(output.key.text, output.key.span);
      const of = output.value.value;
      if (key !== undefined && of) weights.set(key, { left: of.left?.value ?? 0, right: of.right?.value ?? 0 });
    }
    modes.set(mode.key.text, weights);
  }
  const sections: Section[] = [];
  for (const entry of map.sections?.value ?? []) {
    const of = entry.value.value;
    const kind = of?.kind?.value as Section['kind'] | undefined;
    if (!of || !kind) continue;
    const pin = (at: typeof of.plus) => (at?.value === undefined ? undefined : refer(at.value, at.span));
    sections.push({
      name: entry.key.text,
      kind,
      plus: pin(of.plus),
      minus: pin(of.minus),
      input: pin(of.in),
      out: (of.out?.value ?? []).flatMap((word) => refer(word.text, word.span) ?? []),
      gain: of.gain?.value?.value,
      volts: of.volts?.value?.value,
    });
  }
  for (const entry of map.pins?.value ?? []) {
    const at = entry.value.map?.value?.return;
    if (at?.value !== undefined) refer(at.value, at.span);
  }
  return resolveReturns({ ...draft, modes, sections, problems });
}

/** `return` names a pin by number or name: from here on by its key. */
function resolveReturns(pinout: Pinout): Pinout {
  const pins = new Map<string, PinSpec>();
  for (const [key, pin] of pinout.pins) {
    const found = pin.returnPin === undefined ? undefined : findPin(pinout, pin.returnPin);
    pins.set(key, { ...pin, returnPin: found && 'key' in found ? found.key : undefined });
  }
  return { ...pinout, pins };
}
