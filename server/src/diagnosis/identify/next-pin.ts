import { outcomes, predict } from './likelihood';
import { type PinType, pinTypes } from './pin-type';
import { type Hypothesis, type Posterior, sheetPin, typeAt } from './posterior';
import type { CopperKind, PinSeen } from './seen';
import { named } from './words';

/** A pin worth probing: the bits it is expected to tell, and the question it answers. */
export interface NextPin {
  readonly pin: string;
  readonly why: string;
  readonly gain: number;
}

/** Hypotheses below this share of the whole are left out of the sum: they could add less than 0.02 bit together. */
const least = 1e-5;
const mostHypotheses = 400;
/** A pin that tells less, in bits, is not worth a probe: common practice, no source. */
const leastGain = 0.005;

const log2 = (value: number): number => (value > 0 ? Math.log2(value) : 0);

/**
 * Expected information of buzzing out each pin not yet followed to its end (or only assumed), in bits: the mutual information
 * between what would be found and which hypothesis is true (Lindley 1956, "On a measure of the information provided by an
 * experiment"). Best first; pins that tell alike in the order of the package.
 * @param floor pins that tell fewer bits are left out
 */
export function nextPins(found: Posterior, seen: readonly PinSeen[], most = 5, floor = leastGain): NextPin[] {
  const alive = found.hypotheses.slice(0, mostHypotheses).filter((hypothesis) => hypothesis.probability >= least);
  if (alive.length === 0) return [];
  const settled = new Set(
    seen
      .filter(({ copper }) => copper && copper.evidence !== 'assumed' && copper.kind !== 'unsettled')
      .map(({ pin }) => pin),
  );
  const background = predict(undefined);
  const predictions = new Map<string, Float64Array>();
  const predicted = (type: PinType | undefined): Float64Array => {
    if (!type) return background;
    let known = predictions.get(type.key);
    if (!known) {
      known = predict(type);
      predictions.set(type.key, known);
    }
    return known;
  };
  const noneShare = found.none;
  const results = pinsOf(alive)
    .filter((pin) => !settled.has(pin))
    .map((pin) => {
      const weights = new Map<Float64Array, number>([[background, noneShare]]);
      for (const hypothesis of alive) {
        const prediction = predicted(pinUnder(hypothesis, pin));
        weights.set(prediction, (weights.get(prediction) ?? 0) + hypothesis.probability);
      }
      return { pin, ...information([...weights]) };
    })
    .filter((result) => result.gain >= floor);
  results.sort((a, b) => b.gain - a.gain);
  return results.slice(0, most).map(({ pin, gain, outcome }) => ({
    pin,
    gain,
    why: question(pin, outcome, alive),
  }));
}

function pinUnder(hypothesis: Hypothesis, pin: string): PinType | undefined {
  return typeAt(pinTypes(hypothesis.pinout), sheetPin(hypothesis.countings, hypothesis.counting, pin));
}

/** Every pin that some live hypothesis has, in the order of its package. */
function pinsOf(alive: readonly Hypothesis[]): string[] {
  const pins = new Set<string>();
  for (const { countings, pinout } of alive) {
    for (const key of countings.keys) pins.add(key);
    if (pinout.pins.has('EP')) pins.add('EP');
  }
  return [...pins];
}

/** Mutual information in bits between an outcome and which of the weighed predictions holds, and the outcome that tells most. */
function information(weights: readonly (readonly [Float64Array, number])[]): { gain: number; outcome: number } {
  const total = weights.reduce((sum, [, weight]) => sum + weight, 0);
  let gain = 0;
  let outcome = 0;
  let tells = -1;
  for (let at = 0; at < outcomes.length; at++) {
    let expected = 0;
    for (const [prediction, weight] of weights) expected += (weight / total) * prediction[at]!;
    let part = 0;
    for (const [prediction, weight] of weights)
      part += (weight / total) * prediction[at]! * log2(prediction[at]! / expected);
    gain += part;
    if (part > tells) {
      tells = part;
      outcome = at;
    }
  }
  return { gain: Math.max(0, gain), outcome };
}

const places: Readonly<Record<CopperKind, string>> = {
  ground: 'go to ground',
  supply: 'go to a supply',
  clock: 'go to the crystal',
  antenna: 'go to the antenna',
  'audio-straight': 'go straight to an audio contact',
  'audio-coupled': 'go through a capacitor to an audio contact',
  'audio-divided': 'go through resistors to an audio contact',
  'audio-in': 'go to the microphone or an audio input',
  common: 'go to the common contact',
  data: 'go to a data contact or line',
  control: 'go to a switch or control line',
  reference: 'go to the reference voltage',
  decoupling: 'go to a capacitor to ground and nowhere else',
  led: 'go to an LED',
  pulled: 'go to a pull-up or pull-down resistor alone',
  line: 'go to another chip or connector',
  unsettled: 'go anywhere',
  nothing: 'reach nothing',
};

/** The question in plain words, and what the leading hypotheses say the pin is. */
function question(pin: string, outcome: number, alive: readonly Hypothesis[]): string {
  const { kind, side } = outcomes[outcome]!;
  const where =
    side && side !== 'mono' ? places[kind].replace('an audio contact', `the ${side} audio contact`) : places[kind];
  const said: string[] = [];
  for (const hypothesis of alive) {
    const sheet = sheetPin(hypothesis.countings, hypothesis.counting, pin);
    const spec = sheet === undefined ? undefined : hypothesis.pinout.pins.get(sheet);
    const what = spec?.name ?? spec?.role ?? (sheet === undefined ? 'no such pin' : 'unnamed');
    const text = `${what} on ${named({ pinout: hypothesis.pinout.name, numbering: hypothesis.counting.numbering })}`;
    if (!said.some((other) => other.startsWith(`${what} on`))) said.push(text);
    if (said.length === 3) break;
  }
  return `Does pin ${pin} ${where}? It is ${said.join('; ')}.`;
}
