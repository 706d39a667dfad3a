import { weightsOf } from '../../circuit/from-board/chips';
import type { Bench } from './bench';
import type { Hypothesis, Variant } from './types';

/** A cause in one plain sentence; several at once joined. `many`: more than one stimulus was heard. */
export function wordsFor(
  hypothesis: Hypothesis,
  variant: Variant | undefined,
  bench: Bench | undefined,
  many = false,
): string {
  const all = hypothesis.of ?? [hypothesis];
  const said = all.map((one, k) => sentence(one, k === 0 ? variant?.text : undefined, bench, many));
  const [first, ...rest] = said;
  return `${upper(first!)}${rest.map((one) => `; besides, ${one}`).join('')}.`;
}

/** That nothing is wrong, in words, `leaves` being what was measured and does not fit that. */
export const designedWords = (leaves: readonly string[]): string =>
  `the board does what its copper, its values and its data sheet say; ${leaves.length === 0 ? 'nothing measured speaks against it' : `but ${listed(leaves)} ${leaves.length === 1 ? 'does' : 'do'} not fit that`}`;

export const upper = (text: string): string => (/^[a-z]/.test(text) ? text[0]!.toUpperCase() + text.slice(1) : text);

function sentence(
  { cause, at, mode }: Hypothesis,
  figure: string | undefined,
  bench: Bench | undefined,
  many: boolean,
): string {
  const place = at.map((point) => named(point, bench)).join(' and ');
  const value = figure === undefined ? '' : `, ${figure}`;
  const side = sideWord(at, bench);
  switch (cause) {
    case 'as-designed':
      return designedWords([]);
    case 'output-mode':
      return modeSentence(at[0]!, mode, bench, many);
    case 'polarity-reversed':
      if (at[0] !== undefined && bench?.copper.parts.has(at[0])) return `${place} stands the wrong way round`;
      if (atConnector(at, bench)) return `the leads of ${place} are exchanged: what comes out is turned over`;
      return `${side} is turned over at ${place}: both sides are there and separate, but one has the opposite sign`;
    case 'sides-exchanged':
      return atConnector(at, bench)
        ? `the leads of ${place} are exchanged: each side carries the programme of the other`
        : 'left and right are exchanged: each side carries the programme of the other';
    case 'mono-summed':
      return `the sides meet outside the chip, between ${place}${value}: both contacts carry the sum`;
    case 'side-dead':
      return figure === undefined
        ? `${side} is dead: nothing comes out of ${place}`
        : `${side} is dead: ${place}${value}`;
    case 'open':
      if (wiperOf(at, bench) !== undefined) return `the wiper of ${wiperOf(at, bench)} touches nothing`;
      return at.every((point) => bench?.copper.node(point))
        ? `the joint of ${place} is open`
        : `${place} is open: nothing passes it`;
    case 'short':
      if (at.length > 1) return `${place} touch each other`;
      return figure === undefined ? `${place} is shorted` : `${place} leaks${value} across it`;
    case 'wrong-value':
      return `${place} is not what is written${figure === undefined ? '' : `: it acts like ${figure}`}`;
    case 'aged':
      return `${place} has aged: capacitance down, series resistance up${value}`;
    case 'return-open':
      return `${place} does not come back to ground: the loads hang between the two sides, and only their difference is heard`;
    case 'common-return':
      return `both sides share a resistance in their return at ${place}${value}: each leaks into the other, inverted`;
    case 'leakage':
      return `something leaks between ${place}${value}`;
    case 'delayed':
      return `${side} is late${value}`;
    case 'echo':
      return `a delayed copy of the programme is added to it on both sides${value}`;
    case 'one-sided-source':
      return figure === undefined
        ? `the source gives nothing for ${side}`
        : `${side} is fed ${figure} than the other, by the source or within the chip: a balance, a gain or a volume control`;
    case 'supply-missing':
      if (at.length === 1 && bench?.copper.parts.get(at[0]!)?.pinout) return `the supply of ${place} is not there`;
      return figure === undefined ? `the supply ${place} is not there` : `the supply ${place} is low, ${figure}`;
    case 'held-off':
      return `${place} holds the chip in mute, standby or reset`;
    case 'misprobed':
      return figure === undefined
        ? `${listed(at)} ${at.length > 1 ? 'were' : 'was'} taken wrongly`
        : `${listed(at)}: ${figure}`;
    case 'unexplained':
      return 'no cause thought of here explains all that was measured';
  }
}

const listed = (names: readonly string[]): string =>
  names.length < 3 ? names.join(' and ') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;

const atConnector = (at: readonly string[], bench: Bench | undefined): boolean =>
  at.length > 1 && at.every((point) => bench?.copper.parts.get(point.split('.')[0]!)?.kind === 'connector');

/** The potentiometer whose wiper alone is meant. */
function wiperOf(at: readonly string[], bench: Bench | undefined): string | undefined {
  const [designator, pin] = at.length === 1 ? at[0]!.split('.') : [];
  const part = designator === undefined ? undefined : bench?.copper.parts.get(designator);
  return part?.kind === 'potentiometer' && (pin === '2' || pin === '5') ? designator : undefined;
}

/** U1.14 (DACL). */
function named(point: string, bench: Bench | undefined): string {
  const name = bench?.copper.node(point)?.pins.find((pin) => pin.name === point)?.spec?.name;
  return name === undefined ? point : `${point} (${name})`;
}

function sideWord(at: readonly string[], bench: Bench | undefined): string {
  const sides = new Set<string | undefined>(
    (bench?.board.outputs ?? []).filter(({ name }) => at.includes(name)).map(({ pin }) => pin.spec?.channel),
  );
  // What follows a chip's own output is on a side where its net says so.
  for (const point of at)
    for (const { channel } of bench?.copper.node(point)?.nets ?? []) if (channel !== undefined) sides.add(channel);
  return sides.size === 1 && sides.has('left')
    ? 'the left side'
    : sides.size === 1 && sides.has('right')
      ? 'the right side'
      : 'one side';
}

function modeSentence(part: string, mode: string | null, bench: Bench | undefined, many: boolean): string {
  const weights = (bench?.board.outputs ?? [])
    .filter(({ pin }) => pin.part.designator === part)
    .map(({ pin }) => weightsOf(pin, mode ?? undefined));
  const [a, b] = weights;
  const intends = 'the board is as its data sheet intends';
  if (a && b && a.left === -b.left && a.right === -b.right)
    return `both channels carry the same signal in opposite phase${many ? ' on every stimulus' : ''}: ${part} drives its outputs as one differential pair (mode ${mode}); ${intends}`;
  if (a && b && a.left === b.left && a.right === b.right)
    return `both channels carry the same signal: ${part} puts one mono signal on both outputs (mode ${mode}); ${intends}`;
  return `${part} runs in its mode ${mode}`;
}
