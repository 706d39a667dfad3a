import type { Part } from '../../board/part';
import { weightsOf } from '../../circuit/from-board/chips';
import { cautions } from '../../dialect/words';
import { formatQuantity } from '../../quantity/format';
import { nearest } from '../../quantity/series';
import type { Bench } from './bench';
import { Context } from './context';
import type { Ranked } from './groups';
import type { Scene } from './scene';
import type { Hypothesis, Remedy } from './types';

const always =
  'Take the supply or the cell off before you solder, let capacitors discharge and measure that they have; where the gear is fed from the mains, follow local codes and leave it to a licensed person where they say so.';

/** What can be done about a cause, with figures; cautions first. Null where there is nothing to mend. */
export function remedyFor({ hypothesis, best }: Ranked, bench: Bench, board: Scene['board']): Remedy | null {
  const steps = (hypothesis.of ?? [hypothesis]).flatMap((one) => stepsFor(one, best?.variant.text, bench));
  if (steps.length === 0) return null;
  const named = (board.parsed?.value?.cautions?.value ?? []).flatMap((one) => one.value ?? []);
  const known = new Map(cautions.map((caution) => [caution.name, caution.doc]));
  return { cautions: [...named.flatMap((name) => known.get(name) ?? []), always], steps };
}

function stepsFor(one: Hypothesis, figure: string | undefined, bench: Bench): string[] {
  const { cause, at, mode } = one;
  const place = at.join(' and ');
  const part = at[0] === undefined ? undefined : bench.copper.parts.get(at[0]);
  switch (cause) {
    case 'output-mode':
      return modeSteps(at[0]!, mode, bench);
    case 'polarity-reversed':
      if (part)
        return [
          `Look at the stripe of ${place}, measure it in the diode range both ways round, and fit it turned; after a reverse it may have failed, and taken what it feeds with it.`,
        ];
      return [
        `Exchange the two conductors of that side where it is led as a pair, or find the inverting stage at ${place}; between single outputs no passive part turns a signal over.`,
        'Until then a mono sum of both sides cancels what they have in common.',
      ];
    case 'sides-exchanged':
      return [`Exchange the two leads between ${place} and the connector, or left and right at the source.`];
    case 'mono-summed':
      return [`Cut what joins ${place}: without it the chip keeps its sides apart.`, ...monoSum(bench)];
    case 'side-dead':
      return [
        `Measure DC at ${place} first: its bias present and no signal speaks for the programme, no bias for the pin or its chip.`,
        'A dead output pin is not mended from outside; the other side can feed both contacts as mono.',
        ...monoSum(bench),
      ];
    case 'open':
      return part
        ? [`Resolder ${place}; where it stays open, fit ${fitted(part)} anew.`]
        : [`Reflow the joint of ${place} and buzz it again.`];
    case 'short':
      return part
        ? [`Take ${place} out and measure it; fit ${fitted(part)}.`]
        : [`Clear the solder between ${place} with wick, and see that no beep is left between them.`];
    case 'wrong-value':
      return part
        ? [
            `Fit ${fitted(part)} as written, or write what is fitted${figure === undefined ? '' : ` (${figure})`} where the marking says so.`,
          ]
        : [];
    case 'aged':
      return part
        ? [
            `Fit a new ${fitted(part)}, rated for at least the old one's volts, the polarity as it was.`,
            ...corner(part, bench),
          ]
        : [];
    case 'return-open':
      return [
        `Restore the way from ${place} to ground: resolder the contact and beep it to the chip's ground pin; below 0.1 Ω is good.`,
      ];
    case 'common-return':
      return [
        `Lead the return of ${place} to the chip's ground by a wire of its own${figure === undefined ? '' : `; ${figure} now`}: halving it lowers the crosstalk by 6 dB.`,
      ];
    case 'leakage':
      return [
        `Clean the board between ${place} (flux, liquid, whiskers), dry it, and measure ohms between them again.`,
      ];
    case 'delayed':
    case 'echo':
      return ['No passive part on this board makes such a delay: look at the source, its processing and its settings.'];
    case 'one-sided-source':
      return [
        'Play a file with a different tone on each side, and see what the source is set to (mono, balance, one-sided file).',
      ];
    case 'supply-missing':
      return [`Follow ${place} back to what feeds it: cell or contact, fuse, switch, regulator; measure DC at each.`];
    case 'held-off':
      return [
        `Measure DC at ${place}: a mute, standby or reset line at its active level stops the chip. Find what holds it before lifting anything.`,
      ];
    case 'misprobed':
      return [`Take ${place} again, leads and probe switch checked; nothing on the board needs mending for it.`];
    default:
      return [];
  }
}

const fitted = (part: Part): string =>
  part.value ? `${part.designator} (${formatQuantity(part.value.value, part.value.dimension)})` : part.designator;

/** A configured mode is not mended by parts: what it costs to live with it, and what to ask of another chip. */
function modeSteps(designator: string, mode: string | null, bench: Bench): string[] {
  const own = bench.board.outputs.filter(({ pin }) => pin.part.designator === designator);
  const [a, b] = own.map(({ pin }) => weightsOf(pin, mode ?? undefined));
  const ask = `Ask of a replacement: a data sheet that gives left on one pin and right on the other by default, or a mode that can be set (a strap, a register), with at least ${own[0]?.pin.spec?.minLoad === undefined ? 'the same' : formatQuantity(own[0].pin.spec.minLoad, 'Ω')} minimum load${own[0]?.fullScale === undefined ? '' : ` and ${formatQuantity(own[0].fullScale, 'V')} full scale`}.`;
  const fixed = `No passive part changes what ${designator} is configured to put out; look for a strap or a setting in its data sheet first.`;
  if (a && b && a.left === -b.left && a.right === -b.right)
    return [
      fixed,
      'For mono or single-ended gear take one leg only, against ground: it carries the whole mono signal; compared with the pair it costs 6.02 dB. Leave the other leg open, never ground it.',
      'Do not sum the legs: they cancel, and what is left is their mismatch (−45 dB at 0.1 dB of gain error).',
      ask,
    ];
  return [
    fixed,
    'The signal is mono on both contacts: either may be used, and both together need no summing parts.',
    ask,
  ];
}

/** Two equal resistors that sum both sides without overloading either: from the chip's minimum load and own impedance. */
function monoSum({ board }: Bench): string[] {
  const [one] = board.outputs;
  if (!one) return [];
  const least = Math.max(one.pin.spec?.minLoad ?? 0, 20 * (one.pin.spec?.impedance ?? 50));
  const ohms = nearest(least / 2, 'E24', 'up');
  return ohms === null
    ? []
    : [
        `For a mono sum on purpose: ${formatQuantity(ohms, 'Ω')} from each side to one contact (E24; each side then sees at least ${formatQuantity(2 * ohms, 'Ω')} through the other); what is common to both keeps its level, one side alone falls by 6.02 dB.`,
      ];
}

/** The −3 dB corner of a series capacitor into what it sees, healthy, and the E6 value for 20 Hz. */
function corner(part: Part, bench: Bench): string[] {
  const element = bench.elements.find(({ name }) => name === part.designator);
  if (
    element?.kind !== 'capacitor' ||
    !element.farads ||
    element.a === bench.reference ||
    element.b === bench.reference
  )
    return [];
  const { ports } = new Context(bench, 20);
  const port = ports.port(element.a, element.b);
  if (port === undefined) return [];
  // Z seen at the part holds the part itself: 1/Z less its own admittance is what the rest gives.
  const z = ports.transfer(port, port);
  const square = z.re ** 2 + z.im ** 2;
  const rest = { re: z.re / square, im: -z.im / square - 2 * Math.PI * 20 * element.farads };
  const ohms = rest.re / (rest.re ** 2 + rest.im ** 2);
  if (!(ohms > 0) || !Number.isFinite(ohms) || ohms > 1e7) return [];
  const hertz = 1 / (2 * Math.PI * element.farads * ohms);
  const wanted = nearest(1 / (2 * Math.PI * 20 * ohms), 'E6', 'up');
  return [
    `With ${formatQuantity(element.farads, 'F')} into ${formatQuantity(Number(ohms.toPrecision(3)), 'Ω')} the corner is ${formatQuantity(Number(hertz.toPrecision(2)), 'Hz')}${wanted === null ? '' : `; ${formatQuantity(wanted, 'F')} or more keeps it at 20 Hz or below`}.`,
  ];
}
