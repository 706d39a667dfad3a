import { cautionsOf } from '../../board/cautions';
import type { Part } from '../../board/part';
import { weightsOf } from '../../circuit/from-board/chips';
import { levelOf } from '../../circuit/from-board/played';
import { toVoltsRms } from '../../quantity/convert';
import { formatQuantity } from '../../quantity/format';
import { nearest } from '../../quantity/series';
import type { Bench } from './bench';
import { Context } from './context';
import type { Ranked } from './groups';
import {
  bass,
  crosstalk,
  heardAt,
  inDecibels,
  levelAt,
  lowest,
  monoSum,
  ohmsText,
  pad,
  voltsText,
} from './remedy-figures';
import type { Scene } from './scene';
import { strapsOf } from './straps';
import type { Effect, Hypothesis, Remedy } from './types';

const always =
  'Take the supply or the cell off before you solder, let capacitors discharge and measure that they have; where the gear is fed from the mains, follow local codes and leave it to a licensed person where they say so.';

/** What can be done about a cause, with figures; cautions first. Null where there is nothing to mend. */
export function remedyFor({ hypothesis, best }: Ranked, bench: Bench, board: Scene['board']): Remedy | null {
  const effect = best?.variant.effect ?? {};
  const steps = (hypothesis.of ?? [hypothesis]).flatMap((one) =>
    stepsFor(one, best?.variant.text, effect, bench, board),
  );
  if (steps.length === 0) return null;
  return { cautions: [...cautionsOf(board).map(({ text }) => text), always], steps };
}

function stepsFor(
  one: Hypothesis,
  figure: string | undefined,
  effect: Effect,
  bench: Bench,
  board: Scene['board'],
): string[] {
  const { cause, at, mode } = one;
  const place = at.join(' and ');
  const part = at[0] === undefined ? undefined : bench.copper.parts.get(at[0]);
  switch (cause) {
    case 'output-mode':
      return [...modeSteps(at[0]!, mode, effect, bench), ...wantedLevel(effect, bench, board)];
    case 'polarity-reversed':
      if (part)
        return [
          `Look at the stripe of ${place}, measure it in the diode range both ways round, and fit it turned; after a reverse it may have failed, and taken what it feeds with it.`,
        ];
      if (at.length > 1) return [`Exchange the two leads at ${place}.`];
      return [
        `Exchange the two conductors of that side where it is led as a pair, or find the inverting stage at ${place}; between single outputs no passive part turns a signal over.`,
        'Until then a mono sum of both sides cancels what they have in common.',
      ];
    case 'sides-exchanged':
      return [
        bench.board.outputs.some(({ name }) => at.includes(name))
          ? `Exchange the two leads between ${place} and the connector, or left and right at the source.`
          : `Exchange the two leads at ${place}.`,
      ];
    case 'mono-summed':
      return [`Cut what joins ${place}: without it the chip keeps its sides apart.`, ...summing(bench)];
    case 'side-dead':
      if (bench.sections.some(({ point }) => point === at[0])) return sectionSteps(place);
      return [
        `Measure DC at ${place} first: its bias present and no signal speaks for the programme, no bias for the pin or its chip.`,
        'A dead output pin is not mended from outside; the other side can feed both contacts as mono.',
      ];
    case 'open':
      if (part?.kind === 'crystal')
        return [
          `Resolder ${place}, then fit a new one of the same frequency and load; without a clock nothing else in the chip can be judged.`,
          'Look at the clock with a ×10 probe on the chip’s output of the oscillator: a ×1 probe can stop it.',
        ];
      if (isWiper(at, bench))
        return [
          `Clean the track of ${at[0]!.split('.')[0]} with contact cleaner and turn it end to end some twenty times; where it stays open or crackles, fit a new one.`,
        ];
      return part
        ? [`Resolder ${place}; where it stays open, fit ${fitted(part)} anew.`]
        : [`Reflow the joint of ${place} and buzz it again.`];
    case 'short':
      if (part && figure !== undefined)
        return [
          `Lift one leg of ${place}: what comes back then was lost in it. Fit a new ${fitted(part)}, rated for at least the old one's volts, the polarity as it was.`,
        ];
      return part
        ? [`Take ${place} out and measure it; fit ${fitted(part)}.`]
        : [`Clear the solder between ${place} with wick, and see that no beep is left between them.`];
    case 'wrong-value':
      return part
        ? [
            `Fit ${fitted(part)} as written, or write what is fitted${figure === undefined ? '' : ` (${figure})`} where the marking says so.`,
            ...(part.kind === 'capacitor' ? corner(part, effect, bench) : []),
          ]
        : [];
    case 'aged':
      return part
        ? [
            `Fit a new ${fitted(part)}, rated for at least the old one's volts, the polarity as it was.`,
            ...corner(part, effect, bench),
          ]
        : [];
    case 'return-open':
      return [
        `Restore the way from ${place} to ground: resolder the contact and beep it to the chip's ground pin; below 0.1 Ω is good.`,
      ];
    case 'common-return':
      return [
        `Lead the return of ${place} to the chip's ground by a wire of its own${figure === undefined ? '' : `; ${figure} now`}: halving it lowers the crosstalk by 6 dB.`,
        ...separation(effect, bench, 'With the return as drawn'),
      ];
    case 'leakage':
      return [
        `Clean the board between ${place} (flux, liquid, whiskers), dry it, and measure ohms between them again.`,
        ...separation(effect, bench, 'Clean'),
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
      return [
        `Take ${place} again, leads and probe switch checked${/lower|higher/.test(figure ?? '') ? ', the volume at the source where the stimulus says, the scale against a tone of known volts' : ''}; nothing on the board needs mending for it.`,
      ];
    default:
      return [];
  }
}

const fitted = (part: Part): string =>
  part.value ? `${part.designator} (${formatQuantity(part.value.value, part.value.dimension)})` : part.designator;

const isWiper = (at: readonly string[], bench: Bench): boolean =>
  at.length === 1 && at[0]!.includes('.') && bench.copper.parts.get(at[0]!.split('.')[0]!)?.kind === 'potentiometer';

const sectionSteps = (place: string): string[] => [
  `Measure DC at both inputs of the section of ${place}: with its feedback whole they stand within millivolts of one another; where they do and the output still sticks, see its supplies and what loads the output.`,
  'Inputs apart and supplies present: the section is broken, and no passive part mends it. Fit a chip of the same pinout, for the same supply, that is stable at the gain drawn.',
];

/** A configured mode is not mended by parts: what it costs to live with it, and what to ask of another chip. */
function modeSteps(designator: string, mode: string | null, effect: Effect, bench: Bench): string[] {
  const own = bench.board.outputs.filter(({ pin }) => pin.part.designator === designator);
  const [a, b] = own.map(({ pin }) => weightsOf(pin, mode ?? undefined));
  const least = own[0]?.pin.spec?.minLoad;
  const ask = `Ask of a replacement: a data sheet that gives left on one pin and right on the other by default, or a mode that can be set (a strap, a register), with at least ${least === undefined ? 'the same' : formatQuantity(least, 'Ω')} minimum load${own[0]?.fullScale === undefined ? '' : ` and ${formatQuantity(own[0].fullScale, 'V')} full scale`}.`;
  const part = bench.copper.parts.get(designator);
  const straps = part ? strapsOf(part, bench.copper) : [];
  const first =
    straps.length > 0
      ? `${straps.join('; ')}: hold that against its data sheet before anything else`
      : 'look for a strap or a setting in its data sheet first';
  const said =
    part?.mode === undefined || part.mode.name === mode
      ? ''
      : ` The file says \`mode: ${part.mode.name}\`; it does not run so.`;
  const fixed = `No passive part changes what ${designator} is configured to put out; ${first}.${said}`;
  if (a && b && a.left === -b.left && a.right === -b.right)
    return [
      fixed,
      `For mono or single-ended gear take one leg only, against ground: it carries the whole mono signal${legText(effect, bench)}; compared with the pair it costs 6.02 dB. Leave the other leg open, never ground it: a mono plug in a stereo jack does just that.`,
      'Do not sum the legs: they cancel, and what is left is their mismatch (−45 dB at 0.1 dB of gain error).',
      ask,
    ];
  return [
    fixed,
    'The signal is mono on both contacts: either may be used, and both together need no summing parts.',
    ask,
  ];
}

/** V that one leg brings to its contact, and the load it then carries alone. */
function legText(effect: Effect, bench: Bench): string {
  const contact = heardAt(bench).find(({ side }) => side === 'left');
  const level = contact && levelAt(bench, contact.point, effect);
  if (!contact || !level) return '';
  return `, ${voltsText(level)} of a full-scale tone at ${contact.point}${contact.ohms === null ? '' : ` into ${ohmsText(contact.ohms)}`}`;
}

/** Two equal resistors that sum both sides without overloading either, and what the network then gives. */
function summing(bench: Bench): string[] {
  const sum = monoSum(bench, {});
  return sum === undefined
    ? []
    : [
        `For a mono sum on purpose: ${ohmsText(sum.ohms)} (E24) from each side to one contact; each side then sees at least ${ohmsText(2 * sum.ohms)} through the other. Into ${ohmsText(sum.load)} what is common to both comes out at ${voltsText(sum.both)} of full scale, one side alone ${inDecibels(sum.one / sum.both)} of that.`,
      ];
}

/** How far the sides are apart now, and would be once mended. */
function separation(effect: Effect, bench: Bench, mended: string): string[] {
  const [now, then] = [crosstalk(bench, effect), crosstalk(bench, {})];
  if (!now || then === undefined) return [];
  return [
    `One side now lies ${inDecibels(now)} in the other at 997 Hz. ${mended}, ${then < 1e-5 ? 'no leak is left to speak of' : `it is ${inDecibels(then)}`}.`,
  ];
}

/** Levels the board is expected to have that lie below what it gives: the resistor that brings them down; above: what cannot be mended. */
function wantedLevel(effect: Effect, bench: Bench, board: Scene['board']): string[] {
  // A level is expected of what is played: as loud as the recordings had it.
  const played = board.captures.find(({ stimulus }) => stimulus?.kind === 'tone' && stimulus.level?.unit === 'dBFS');
  const by = (played?.stimulus && levelOf(played.stimulus)) ?? 1;
  const playing = ` (a tone of ${played?.stimulus?.level?.text ?? '0 dBFS'} on both sides)`;
  return (board.parsed?.value?.expect?.value ?? []).flatMap(({ value }): string[] => {
    const wanted = value?.level?.value;
    const is = wanted?.is?.value;
    const volts = is === undefined ? undefined : toVoltsRms(is);
    const node = wanted?.at?.value === undefined ? undefined : bench.copper.node(wanted.at.value[0]?.text ?? '');
    const contact = heardAt(bench).find(({ point }) => node !== undefined && bench.copper.node(point) === node);
    const now = contact && levelAt(bench, contact.point, effect);
    if (!contact || !volts || !now) return [];
    const share = volts / (by * now);
    if (share > 1.06)
      return [
        `${contact.point} gives ${voltsText(by * now)}${playing} where ${voltsText(volts)} is wanted: ${inDecibels(share)} are missing, and no passive part adds them.`,
      ];
    const fit = share < 0.94 ? pad(bench, contact, effect, share) : undefined;
    return fit === undefined
      ? []
      : [
          `For ${voltsText(volts)} at ${contact.point}${playing} instead of ${voltsText(by * fit.now)}: ${ohmsText(fit.ohms)} (E24) in series, which gives ${voltsText(by * fit.fitted)}.`,
        ];
  });
}

/** The −3 dB corner of a series capacitor into what it sees, healthy, the E6 value for 20 Hz, and what that gives there. */
function corner(part: Part, effect: Effect, bench: Bench): string[] {
  const element = bench.elements.find(({ name }) => name === part.designator);
  if (
    element?.kind !== 'capacitor' ||
    !element.farads ||
    element.a === bench.reference ||
    element.b === bench.reference
  )
    return [];
  const { ports } = new Context(bench, lowest);
  const port = ports.port(element.a, element.b);
  if (port === undefined) return [];
  // Z seen at the part holds the part itself: 1/Z less its own admittance is what the rest gives.
  const z = ports.transfer(port, port);
  const square = z.re ** 2 + z.im ** 2;
  const rest = { re: z.re / square, im: -z.im / square - 2 * Math.PI * lowest * element.farads };
  const ohms = rest.re / (rest.re ** 2 + rest.im ** 2);
  if (!(ohms > 0) || !Number.isFinite(ohms) || ohms > 1e7) return [];
  const hertz = 1 / (2 * Math.PI * element.farads * ohms);
  const wanted = nearest(1 / (2 * Math.PI * lowest * ohms), 'E6', 'up');
  return [
    `With ${formatQuantity(element.farads, 'F')} into ${ohmsText(ohms)} the corner is ${formatQuantity(Number(hertz.toPrecision(2)), 'Hz')}${wanted === null ? '' : `; ${formatQuantity(wanted, 'F')} or more keeps it at 20 Hz or below`}.`,
    ...bassNow(part, effect, bench),
  ];
}

/** What 20 Hz has lost at the contact that suffers most, as it is. */
function bassNow(part: Part, effect: Effect, bench: Bench): string[] {
  const heard = heardAt(bench).flatMap(({ point }) => {
    const [now, then] = [bass(bench, point, effect), bass(bench, point, {})];
    return now !== undefined && then !== undefined && now < 0.9 * then ? [{ point, now, then }] : [];
  });
  const worst = heard.sort((a, b) => a.now - b.now)[0];
  return worst
    ? [
        `As it is, 20 Hz lies ${inDecibels(worst.now)} against 997 Hz at ${worst.point}; with ${fitted(part)} sound, ${inDecibels(worst.then)}.`,
      ]
    : [];
}
