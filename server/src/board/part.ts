import type { PartEntry } from '../dialect/board-file';
import type { Problem } from '../dialect/type';
import { decodeCode } from '../quantity/codes';
import type { Dimension } from '../quantity/dimension';
import { formatQuantity } from '../quantity/format';
import { parseQuantities } from '../quantity/quantities';
import { parseQuantity, type Quantity, type QuantityProblem } from '../quantity/quantity';
import { slipAgainstCode } from '../quantity/slip';
import type { Span } from '../text/span';
import { type ContactDuty, dutyOf, styles } from './connectors';
import { type Kind, kindOfDesignator } from './designator';
import { findPin, type PinLookup, type Pinout, type PinSpec, pinoutOfNames, pinoutOfPins, pinsOfStyle } from './pinout';

type PartMap = NonNullable<NonNullable<PartEntry['map']>['value']>;

/** What the value of a kind is measured in; kinds that are missing carry a text. */
export const valueDimension: Readonly<Partial<Record<Kind, Dimension>>> = {
  resistor: 'resistance',
  potentiometer: 'resistance',
  ferrite: 'resistance',
  loudspeaker: 'resistance',
  capacitor: 'capacitance',
  inductor: 'inductance',
  crystal: 'frequency',
  fuse: 'current',
  cell: 'voltage',
};
/** Kinds whose short form may be a voltage, but is as often a type number. */
const perhapsVoltage = new Set<Kind>(['led', 'zener', 'tvs', 'varistor']);

/** Terminal names by kind, canonical first; further spellings lead to them. */
const terminals: Partial<Record<Kind, readonly (readonly string[])[]>> = {
  resistor: [['1'], ['2']],
  ferrite: [['1'], ['2']],
  inductor: [['1'], ['2']],
  fuse: [['1'], ['2']],
  varistor: [['1'], ['2']],
  capacitor: [
    ['1', '+'],
    ['2', '-'],
  ],
  cell: [
    ['1', '+'],
    ['2', '-'],
  ],
  loudspeaker: [
    ['1', '+'],
    ['2', '-'],
  ],
  microphone: [
    ['1', '+'],
    ['2', '-'],
  ],
  diode: [['A'], ['K'], ['1'], ['2']],
  led: [['A'], ['K'], ['1'], ['2']],
  zener: [['A'], ['K'], ['1'], ['2']],
  tvs: [['A'], ['K'], ['1'], ['2']],
  'rectifier-bridge': [['+'], ['-'], ['ac1', '~1'], ['ac2', '~2']],
  npn: [['B'], ['C'], ['E']],
  pnp: [['B'], ['C'], ['E']],
  nmos: [['G'], ['D'], ['S']],
  pmos: [['G'], ['D'], ['S']],
  jfet: [['G'], ['D'], ['S']],
  potentiometer: [
    ['1', 'ccw'],
    ['2', 'wiper'],
    ['3', 'cw'],
    ['4', 'ccw2'],
    ['5', 'wiper2'],
    ['6', 'cw2'],
  ],
  switch: [['1'], ['2']],
  'test-point': [['1']],
  antenna: [['1']],
};
/** Three-legged parts whose legs are not known by number: the number says nothing about the function. */
const numbered = new Set<Kind>(['npn', 'pnp', 'nmos', 'pmos', 'jfet']);

/** A part in one state of the board. Values in base units; `undefined` is unknown, never a default. */
export class Part {
  readonly kind: Kind | undefined;
  readonly fitted: boolean;
  readonly value: Quantity | undefined;
  /** Something stands as its value, or it has a kind that wants one, but it cannot be read. */
  readonly valueBroken: boolean;
  readonly ratings: readonly Quantity[];
  /** As a fraction: 0.05 for 5 %. */
  readonly tolerance: number | undefined;
  readonly polarised: boolean;
  readonly esr: number | undefined;
  readonly dcr: number | undefined;
  readonly stray: number | undefined;
  /** Ohms from each contact to its return; farads for a crystal. */
  readonly load: number | undefined;
  readonly style: string | undefined;
  readonly wiring: string | undefined;
  readonly contacts: readonly string[];
  readonly chemistry: string | undefined;
  readonly marking: string | undefined;
  readonly markingSpan: Span | undefined;
  readonly mode: { readonly name: string; readonly span: Span } | undefined;
  readonly packageStyle: string | undefined;
  readonly pinout: Pinout | undefined;
  /** The pinout as named in the board, where it was. */
  readonly pinoutName: { readonly name: string; readonly span: Span; readonly short: boolean } | undefined;
  readonly candidates: readonly { readonly name: string; readonly span: Span; readonly pinout: Pinout | undefined }[];
  /** The free text of a short form that is no quantity. */
  readonly description: string | undefined;
  readonly note: string | undefined;

  /**
   * @param declared where the part stands in the file; undefined for one met only in joins
   * @param problems gathers what is wrong in its entry
   */
  constructor(
    readonly designator: string,
    entry: PartEntry | undefined,
    readonly declared: { readonly keySpan: Span; readonly span: Span } | undefined,
    file: string,
    pinouts: ReadonlyMap<string, Pinout>,
    problems: Problem[],
    /** A capacitor on which + or - was used is polarised. */
    polarityUsed: boolean,
  ) {
    const map: PartMap = entry?.map?.value ?? {};
    const scalar = entry?.scalar;
    const text = scalar?.value?.trim();
    this.kind = (map.kind?.value as Kind | undefined) ?? kindOfDesignator(designator);
    this.fitted = text !== 'not-fitted' && text !== '~';
    const short = text === undefined || text === '' || !this.fitted ? undefined : text;
    const dimension = this.kind === undefined ? undefined : valueDimension[this.kind];
    const ratings: Quantity[] = map.rating?.value ? [map.rating.value] : [];
    let value: Quantity | undefined;
    let broken = false;
    let tolerance = map.tolerance?.value;
    let load = map.load?.value?.value;
    let description: string | undefined;
    if (short !== undefined && scalar && (dimension || (this.kind && perhapsVoltage.has(this.kind)))) {
      const form = parseQuantities(short, {
        lead: [dimension ?? 'voltage'],
        further: [
          'voltage',
          'current',
          'power',
          'percent',
          'ppm',
          ...(this.kind === 'crystal' ? (['capacitance'] as const) : []),
          // "600R@100MHz": where a ferrite's ohms hold.
          ...(this.kind === 'ferrite' ? (['frequency'] as const) : []),
        ],
      });
      const at = (part: { start: number; end: number }): Span => within(scalar.span, scalar.text, part);
      if (form.lead?.quantity) value = form.lead.quantity;
      else if (form.lead?.problem && dimension) {
        broken = true;
        problems.push(asProblem(form.lead.problem, at(form.lead)));
      } else description = short;
      for (const part of value ? form.further : []) {
        if (part.problem) problems.push(asProblem(part.problem, at(part)));
        else if (part.quantity?.dimension === 'percent' || part.quantity?.dimension === 'ppm')
          tolerance = part.quantity;
        else if (part.quantity?.dimension === 'capacitance') load = part.quantity.value;
        else if (part.quantity && part.quantity.dimension !== 'frequency') ratings.push(part.quantity);
      }
    } else description = short;
    if (map.value) {
      const written = map.value.text.trim();
      if (written !== '' && dimension) {
        const read = parseQuantity(map.value.text, [dimension]);
        value = read.quantity;
        broken = value === undefined;
        if (read.problem)
          problems.push(asProblem(besides(read.problem, designator, written, dimension), map.value.span));
      } else if (map.value.value) value = map.value.value;
      else if (written !== '') description = written;
    }
    if (
      map.code?.value !== undefined &&
      (dimension === 'resistance' || dimension === 'capacitance' || dimension === 'inductance')
    ) {
      const decoded = decodeCode(map.code.value, dimension);
      const only = decoded.readings.length === 1 ? decoded.readings[0] : undefined;
      if (decoded.problem && !only && value === undefined) {
        broken = true;
        problems.push({ check: 'bad-quantity', span: map.code.span, message: decoded.problem });
      }
      if (only && tolerance === undefined && only.tolerance !== undefined)
        tolerance = { value: only.tolerance * 100, dimension: 'percent', unit: '%', text: map.code.value };
      const stated = value;
      if (
        stated &&
        decoded.readings.length > 0 &&
        !decoded.readings.some((reading) => close(reading.value, stated.value))
      ) {
        const slip = slipAgainstCode(stated, decoded.readings);
        const reads = decoded.readings.map((reading) => formatQuantity(reading.value, dimension)).join(' or ');
        problems.push({
          check: 'bad-quantity',
          span: map.value?.span ?? map.code.span,
          message: slip
            ? `${slip.message}.`
            : `The value is ${formatQuantity(stated.value, dimension)}, but ${map.code.value} is printed for ${reads}.`,
          ...(slip &&
            map.value && {
              fixes: [
                {
                  title: `Write ${slip.suggestion}`,
                  edits: [{ span: map.value.span, text: slip.suggestion }],
                  safe: false,
                },
              ],
            }),
        });
        value = undefined;
        broken = true;
      } else if (!stated && only)
        value = { value: only.value, dimension, unit: unitOf[dimension], text: map.code.value };
    }
    if (this.kind === 'crystal' && map.load?.text) {
      const read = parseQuantity(map.load.text, ['capacitance']);
      load = read.quantity?.value;
      if (read.problem && map.load.value) problems.push(asProblem(read.problem, map.load.span));
    }
    this.value = value;
    this.valueBroken = broken;
    this.ratings = ratings;
    this.tolerance = tolerance && tolerance.value * (tolerance.dimension === 'ppm' ? 1e-6 : 1e-2);
    this.polarised = map.polarised?.value ?? (this.kind === 'capacitor' && polarityUsed);
    this.esr = map.esr?.value?.value;
    this.dcr = map.dcr?.value?.value;
    this.stray = map.stray?.value?.value;
    this.load = load;
    const style =
      map.style?.value ?? (this.kind === 'connector' && description && styles[description] ? description : undefined);
    this.style = style;
    this.wiring = map.wiring?.value;
    const extra = map.contacts?.value?.map((word) => word.text) ?? [];
    this.contacts = [...(style === undefined ? [] : (styles[style]?.contacts ?? [])), ...extra];
    this.chemistry = map.chemistry?.value;
    this.marking = map.marking?.value;
    this.markingSpan = map.marking?.span;
    this.mode = map.mode?.value === undefined ? undefined : { name: map.mode.value.trim(), span: map.mode.span };
    this.packageStyle = map.package?.value?.trim();
    this.description = description;
    this.note = map.note?.value;

    const carriesPinout =
      this.kind === 'chip' || this.kind === 'regulator' || this.kind === 'op-amp' || this.kind === undefined;
    const named = map.pinout?.value ?? (carriesPinout && !map.pinout ? description : undefined);
    const namedSpan = map.pinout?.span ?? scalar?.span;
    this.pinoutName =
      named !== undefined && namedSpan ? { name: named.trim(), span: namedSpan, short: !map.pinout } : undefined;
    const inline = map.pins;
    const names = inline?.scalar?.value ?? inline?.list?.value;
    this.pinout =
      names && names.length > 0
        ? pinoutOfNames(designator, names, file, inline!.span)
        : inline?.map?.value
          ? pinoutOfPins(designator, inline.map.value, file, inline.span)
          : this.pinoutName && pinouts.get(this.pinoutName.name.toLowerCase());
    this.candidates = (map.candidates?.value ?? []).map((word) => ({
      name: word.text,
      span: word.span,
      pinout: pinouts.get(word.text.toLowerCase()),
    }));
  }

  /** The canonical name of one of its pins: `U1.14`; a part with one pin goes by its designator. */
  point(pin: string): string {
    return this.kind === 'test-point' || this.kind === 'antenna' ? this.designator : `${this.designator}.${pin}`;
  }

  spec(pin: string): PinSpec | undefined {
    return this.pinout?.pins.get(pin);
  }

  duty(pin: string): ContactDuty | undefined {
    return dutyOf(this.style, this.wiring, pin);
  }

  /** The mode it runs in: the one stated, else the first its pinout lists. */
  get modeName(): string | undefined {
    return this.mode?.name ?? this.pinout?.modes.keys().next().value;
  }

  /** Pins it is known to have, canonical: by pinout, style or kind. */
  knownPins(): readonly string[] {
    if (this.pinout && this.pinout.pins.size > 0) return [...this.pinout.pins.keys()];
    if (this.contacts.length > 0) return this.contacts;
    const own = this.kind && terminals[this.kind];
    return own ? own.map((spellings) => spellings[0]!) : [];
  }

  /** Where a pin's text leads: canonical pin, or why there is none. */
  find(text: string): PinLookup {
    const wanted = text.trim();
    if (this.pinout) return findPin(this.pinout, wanted);
    if (this.kind === 'connector') return this.findContact(wanted);
    if (this.kind === 'switch' && this.contacts.length > 0) return this.findContact(wanted);
    const own = this.kind && terminals[this.kind];
    if (own) {
      const hit = own.find((spellings) =>
        spellings.some((spelling) => spelling.toLowerCase() === wanted.toLowerCase()),
      );
      if (hit) return { key: hit[0]! };
      if (this.kind && numbered.has(this.kind) && /^[123]$/.test(wanted)) return { key: wanted };
      const known = own.flat();
      return {
        check: /^\d+$/.test(wanted) ? 'pin-out-of-range' : 'unknown-reference',
        message: `${this.designator} has no pin ${wanted}: ${this.kind} has ${known.join(', ')}.`,
        known,
      };
    }
    const count = pinsOfStyle(this.packageStyle);
    if (count !== undefined && /^\d+$/.test(wanted) && Number(wanted) > count + 1)
      return {
        check: 'pin-out-of-range',
        message: `There is no pin ${wanted}: ${this.packageStyle} has ${count} pins.`,
        known: [],
      };
    return { key: wanted };
  }

  private findContact(wanted: string): PinLookup {
    const hit = this.contacts.find((contact) => contact.toLowerCase() === wanted.toLowerCase());
    if (hit !== undefined) return { key: hit };
    if (this.contacts.length === 0) return { key: wanted };
    return {
      check: 'unknown-reference',
      message: `${this.designator} has no contact ${wanted}: ${this.style ?? 'it'} has ${this.contacts.join(', ')}.`,
      known: this.contacts,
    };
  }
}

const unitOf = { resistance: 'Ω', capacitance: 'F', inductance: 'H' } as const;
const close = (a: number, b: number) => Math.abs(a - b) <= 0.011 * Math.max(Math.abs(a), Math.abs(b));

/** A problem of a value that is more than a value: where the rest of it belongs. */
function besides(problem: QuantityProblem, designator: string, written: string, dimension: Dimension): QuantityProblem {
  const { suggestion: _, ...bare } = problem;
  if (/^(not[ -]?(fitted|populated)|dnp|dnf|n\/?c|empty)$/i.test(written))
    return { ...bare, message: `An empty pad is written \`${designator}: not-fitted\`` };
  const { lead, further } = parseQuantities(written, {
    lead: [dimension],
    further: ['voltage', 'current', 'power', 'percent'],
  });
  if (!lead?.quantity || further.length === 0 || further.some((part) => part.problem)) return problem;
  const keys = further.map(
    ({ quantity }) => `${quantity?.dimension === 'percent' ? 'tolerance' : 'rating'}: ${quantity?.text}`,
  );
  return {
    ...bare,
    message: `More than a value: write \`${designator}: ${written}\`, or \`${keys.join('`, `')}\` beside \`value: ${lead.quantity.text}\``,
  };
}

const asProblem = (
  problem: { check: 'bad-quantity' | 'wrong-unit'; message: string; suggestion?: string },
  span: Span,
): Problem => ({
  check: problem.check,
  span,
  message: `${problem.message}.`.replace(/\.\.$/, '.'),
  ...(problem.suggestion !== undefined && {
    fixes: [{ title: `Write ${problem.suggestion}`, edits: [{ span, text: problem.suggestion }], safe: false }],
  }),
});

/** The stretch of a part of a scalar's text; the whole scalar where quoting makes offsets differ. */
const within = (span: Span, text: string, part: { start: number; end: number }): Span =>
  span.end - span.start === text.length ? { start: span.start + part.start, end: span.start + part.end } : span;

/** The pins of a polarised capacitor and of a cell go by `+` and `-`; undefined for any other. */
export function polarityOf({ kind, polarised }: Part, pin: string): '+' | '-' | undefined {
  if (kind !== 'cell' && !(kind === 'capacitor' && polarised)) return undefined;
  return pin === '1' ? '+' : pin === '2' ? '-' : undefined;
}
