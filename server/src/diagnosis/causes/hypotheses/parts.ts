import type { Part } from '../../../board/part';
import type { Element } from '../../../circuit/netlist';
import { formatQuantity } from '../../../quantity/format';
import { isStandard } from '../../../quantity/series';
import type { Bench } from '../bench';
import type { Context } from '../context';
import { usualEsr } from '../predict-meter';
import { odds } from '../priors';
import type { Effect, ElementChange, Hypothesis, Variant } from '../types';
import { pulledDown, starved } from './rails';

/** Farads from which a capacitor is likely to be an electrolytic, and ages. */
const electrolytic = 1e-6;

/** What is left of the capacitance, and the series ohms that come with it. Common practice, no source. */
const agedForms = (farads: number) => [
  ...[0.5, 0.25, 0.12, 0.06, 0.03, 0.014].flatMap((left) => [
    { left, esr: 0 },
    { left, esr: 0.6 / left },
  ]),
  // Dried out at the ends: the series resistance goes first.
  ...[4, 12, 36].map((times) => ({ left: 0.75, esr: times * usualEsr(farads) })),
];
const agedSpread = 0.3;

/**
 * Ω across an electrolytic that leaks, log-even. Common practice, no source: below a few hundred ohms it is called shorted, above some
 * hundred kilohms it is what its data sheet allows.
 */
const leaks = [30, 100, 300, 1e3, 3e3, 1e4, 3e4, 1e5, 3e5];
const leakSpread = 0.35;

const twoDigits = (value: number): number => Number(value.toPrecision(2));

/** Factors by which a value may be another, each standing for its surroundings: what lies between is not told apart. */
const otherValues = [0.026, 0.047, 0.085, 0.15, 0.27, 0.45, 0.68, 1.5, 2.2, 3.9, 7, 12, 22, 40];
const otherSpread = 0.25;

/** Each passive open, short, of a wrong value or aged. `rest`: the bench at DC. */
export function partHypotheses(bench: Bench, rest: Context): Hypothesis[] {
  return bench.elements.flatMap((element) => {
    const part = bench.copper.parts.get(element.name.split(' ')[0]!);
    if (!part || /^(joint|input|load at|net|stray|inside|section) /.test(element.name) || element.name.endsWith(' out'))
      return [];
    return faults(rest, element, part);
  });
}

function faults(rest: Context, element: Element, part: Part): Hypothesis[] {
  if (
    element.kind !== 'resistor' &&
    element.kind !== 'capacitor' &&
    element.kind !== 'inductor' &&
    element.kind !== 'load'
  )
    return [];
  const at = [element.name.includes(' ') ? element.name.split(' ').join('.') : part.designator];
  const change = (becomes: ElementChange['becomes'], spread?: number): Variant['effect'] => ({
    changes: [{ element: element.name, part, becomes, ...(spread !== undefined && { spread }) }],
  });
  const made = (cause: Hypothesis['cause'], prior: number, variants: readonly Variant[]): Hypothesis => ({
    cause,
    at,
    mode: null,
    prior,
    variants,
  });
  const capacitor = element.kind === 'capacitor';
  const found = [
    made('open', odds.open, [{ weight: 1, effect: { ...change('open'), ...starved(rest, change('open')) } }]),
    made('short', capacitor ? odds['short-capacitor'] : odds['short-resistor'], [
      { weight: 1, effect: { ...change('short'), ...pulledDown(rest, change('short'), element.a, element.b) } },
    ]),
  ];
  const key = element.kind === 'capacitor' ? 'farads' : element.kind === 'inductor' ? 'henries' : 'ohms';
  const value = (element as unknown as Record<string, number | null>)[key] ?? null;
  const dimension = part.value?.dimension;
  if (value === null || !(value > 0) || part.value === undefined || dimension === undefined) return found;
  const print = confusable(value, element.kind);
  const total = print.reduce<number>((sum, other) => sum + other.odds, odds['other-value']);
  found.push(
    made('wrong-value', total, [
      ...print.map((other) => ({
        weight: other.odds / total,
        effect: change({ [key]: other.value }, capacitor ? 0.115 : 0.03),
        text: formatQuantity(other.value, dimension),
      })),
      ...otherValues.map((factor) => ({
        weight: odds['other-value'] / otherValues.length / total,
        effect: change({ [key]: factor * value }, otherSpread),
        text: `about ${formatQuantity(Number((factor * value).toPrecision(2)), dimension)}`,
      })),
    ]),
  );
  if (element.kind === 'capacitor') {
    if (value >= electrolytic) found[1] = withLeaks(found[1]!, rest, element.a, element.b);
    const prior = value >= electrolytic ? odds['aged-electrolytic'] : odds['aged-other'];
    const esr = element.esr ?? 0;
    const forms = agedForms(value);
    found.push(
      made(
        'aged',
        prior,
        forms.map((form) => ({
          weight: 1 / forms.length,
          effect: change({ farads: value * form.left, esr: esr + form.esr }, agedSpread),
          text: `about ${formatQuantity(twoDigits(value * form.left), 'F')}${form.esr > 0 ? ` with ${twoDigits(form.esr)} Ω in series` : ''}`,
        })),
      ),
    );
  }
  return found;
}

/** A capacitor's short, and what it is short of that: its dielectric leaks. */
function withLeaks(short: Hypothesis, rest: Context, a: string, b: string): Hypothesis {
  const prior = short.prior + odds['leaky-electrolytic'];
  const variants = leaks.map((ohms): Variant => {
    const effect: Effect = { bridges: [{ between: [a, b], ohms, spread: leakSpread }] };
    return {
      weight: odds['leaky-electrolytic'] / leaks.length / prior,
      effect: { ...effect, ...starved(rest, effect) },
      text: `about ${formatQuantity(ohms, 'Ω')}`,
    };
  });
  return {
    ...short,
    prior,
    variants: [...short.variants.map((one) => ({ ...one, weight: short.prior / prior })), ...variants],
  };
}

/**
 * Values a part is confused with: decades (a digit or a point misread, 470 for 47 with a zero behind: the three-digit code), and
 * codes read upside down where the digits allow it (681 and 189, 16 and 91).
 */
export function confusable(value: number, kind: Element['kind']): { value: number; odds: number }[] {
  const found = [0.01, 0.1, 10, 100].map((factor) => ({
    value: Number((value * factor).toPrecision(6)),
    odds: factor === 0.1 || factor === 10 ? odds['confused-value'] : odds['wrong-value'] / 2,
  }));
  const turned = kind === 'resistor' ? upsideDown(value) : undefined;
  if (turned !== undefined && !found.some((other) => Math.abs(other.value - turned) < 1e-9 * turned))
    found.push({ value: turned, odds: odds['wrong-value'] });
  return found;
}

const flipped: Readonly<Record<string, string>> = { 0: '0', 1: '1', 6: '9', 8: '8', 9: '6' };

/** A resistor's three-digit code (IEC 60062 style) turned by 180°; undefined where that is no code of a standard value. */
function upsideDown(ohms: number): number | undefined {
  const exponent = Math.floor(Math.log10(ohms)) - 1;
  const digits = Math.round(ohms / 10 ** exponent);
  if (exponent < 0 || exponent > 9 || Math.abs(digits * 10 ** exponent - ohms) > 1e-6 * ohms) return undefined;
  const turned = [...`${digits}${exponent}`].reverse().map((digit) => flipped[digit]);
  if (turned.some((digit) => digit === undefined) || turned[0] === '0') return undefined;
  const other = Number(`${turned[0]}${turned[1]}`) * 10 ** Number(turned[2]);
  return other !== ohms && isStandard(other, 'E24') ? other : undefined;
}
