import { channelOf } from '../../../board/paths';
import { roleOf } from '../../../board/roles';
import type { OutputSource } from '../../../circuit/from-board/chips';
import { weightsOf } from '../../../circuit/from-board/chips';
import type { Bench } from '../bench';
import { odds } from '../priors';
import type { Scene } from '../scene';
import type { Hypothesis, Variant } from '../types';
import { railsOf, withoutRail } from './rails';

const one = (effect: Variant['effect']): Variant[] => [{ weight: 1, effect }];

/** What a chip may do otherwise than its data sheet's default: mode, polarity, silence, late or one-sided programme. */
export function chipHypotheses(bench: Bench, scene: Scene): Hypothesis[] {
  const { outputs } = bench.board;
  return [
    ...modes(outputs),
    ...outputs.map(
      ({ name }): Hypothesis => ({
        cause: 'polarity-reversed',
        at: [name],
        mode: null,
        prior: odds['polarity-reversed'],
        variants: one({ flips: [name] }),
      }),
    ),
    ...outputs.map(
      ({ name }): Hypothesis => ({
        cause: 'side-dead',
        at: [name],
        mode: null,
        prior: odds['side-dead'],
        variants: [
          { weight: 0.5, effect: { dead: [{ output: name, bias: false }] } },
          { weight: 0.5, effect: { dead: [{ output: name, bias: true }] } },
        ],
      }),
    ),
    ...sides(outputs, measuredDelays(scene)),
    ...silenced(bench),
  ];
}

function modes(outputs: readonly OutputSource[]): Hypothesis[] {
  const parts = new Map(outputs.map(({ pin }) => [pin.part.designator, pin.part]));
  return [...parts.values()].flatMap((part) =>
    [...(part.pinout?.modes.keys() ?? [])]
      .filter((mode) => mode !== part.modeName)
      // A mode that gives these outputs what they give anyway is no other mode here.
      .filter((mode) =>
        outputs.some(({ pin }) => {
          if (pin.part !== part) return false;
          const [a, b] = [weightsOf(pin, mode), weightsOf(pin)];
          return a?.left !== b?.left || a?.right !== b?.right;
        }),
      )
      .map(
        (mode): Hypothesis => ({
          cause: 'output-mode',
          at: [part.designator],
          mode,
          prior: odds['output-mode'],
          variants: one({ modes: [{ part: part.designator, mode }] }),
        }),
      ),
  );
}

/** How loud a side is whose balance is off, gain set lower or source half dead: in steps of 3 dB, each standing for its surroundings. */
const quieter = [2, 5, 8, 11, 14, 17, 20, 23, 26].map((decibels) => 10 ** (-decibels / 20));
const quieterSpread = 0.14;

/** Delays in s and echoes (share of the direct sound, s) tried: from a sample's worth to an audible one. */
const delays = [2e-5, 5e-5, 1e-4, 1.7e-4, 2.5e-4, 3.5e-4, 5e-4, 7e-4, 1e-3, 1.5e-3, 2.3e-3, 4e-3, 7e-3, 1.2e-2];
const echoes = [0.25, 0.5, 0.7, 1].flatMap((by) =>
  [1e-4, 2.5e-4, 3.7e-4, 5e-4, 8e-4, 1e-3, 1.5e-3, 2.2e-3, 5e-3, 1.1e-2].map((seconds) => ({ by, seconds })),
);

/** s by which a recording shows one side late: where it does, that is one of the delays tried. Positive: the right. */
const measuredDelays = ({ takes }: Scene): number[] =>
  takes.flatMap(({ take }) => (take.delay && Math.abs(take.delay.value) > leastDelay ? [take.delay.value] : []));
const leastDelay = 2e-6;

function sides(outputs: readonly OutputSource[], seen: readonly number[]): Hypothesis[] {
  const left = outputs.filter(({ pin }) => channelOf(pin) === 'left').map(({ name }) => name);
  const right = outputs.filter(({ pin }) => channelOf(pin) === 'right').map(({ name }) => name);
  const all = outputs.map(({ name }) => name);
  const heard = outputs.flatMap(({ weights }) => weights ?? []);
  if (!heard.some(({ left: of }) => of !== 0) || !heard.some(({ right: of }) => of !== 0)) return [];
  const made: Hypothesis[] = (['left', 'right'] as const).flatMap((side): Hypothesis[] => {
    const at = side === 'left' ? left : right;
    const own = seen.flatMap((late) => (late > 0 === (side === 'right') ? [Math.abs(late)] : []));
    const tried = [...delays, ...own];
    return [
      {
        cause: 'one-sided-source',
        at: at.length > 0 ? at : all,
        mode: null,
        prior: odds['one-sided-source'],
        variants: [
          { weight: 0.5, effect: { without: side } },
          ...quieter.map((by) => ({
            weight: 0.5 / quieter.length,
            effect: { quieter: [{ side, by, spread: quieterSpread }] },
            text: `about ${Math.round(-20 * Math.log10(by))} dB lower`,
          })),
        ],
      },
      {
        cause: 'delayed',
        at: at.length > 0 ? at : all,
        mode: null,
        prior: odds.delayed,
        variants: tried.map((seconds) => ({
          weight: 1 / tried.length,
          effect: { delays: [{ side, seconds }] },
          text: `about ${timeText(seconds)}`,
        })),
      },
    ];
  });
  made.push({
    cause: 'echo',
    at: all,
    mode: null,
    prior: odds.echo,
    variants: echoes.map((echo) => ({
      weight: 1 / echoes.length,
      effect: { echoes: [echo] },
      text: `about ${timeText(echo.seconds)} late and ${echo.by === 1 ? 'as loud' : `${Math.round(-20 * Math.log10(echo.by))} dB lower`}`,
    })),
  });
  if (left.length > 0 && right.length > 0)
    made.push({
      cause: 'sides-exchanged',
      at: [...left, ...right],
      mode: null,
      prior: odds['sides-exchanged'],
      variants: one({ exchanged: true }),
    });
  return made;
}

const timeText = (seconds: number): string =>
  seconds >= 1e-3 ? `${Number((seconds * 1e3).toPrecision(3))} ms` : `${Math.round(seconds * 1e6)} µs`;

/** Shares of its volts that a supply may sag to while its chips still play. */
const low = [0.5, 0.65, 0.75, 0.8, 0.85, 0.9, 0.94];

/** Supplies that are not there, and chips held at reset, mute or standby. */
function silenced(bench: Bench): Hypothesis[] {
  const { board, copper, reference } = bench;
  const { outputs } = board;
  const chips = [...new Set(outputs.map(({ pin }) => pin.part))];
  const dead = (part: (typeof chips)[number], bias: boolean) =>
    outputs.filter(({ pin }) => pin.part === part).map(({ name }) => ({ output: name, bias }));
  return [
    ...railsOf(bench).map(
      (rail): Hypothesis => ({
        cause: 'supply-missing',
        at: [rail.name.replace(/^net /, '')],
        mode: null,
        prior: odds['supply-missing'],
        variants: [
          { weight: 0.6, effect: withoutRail(bench, rail) },
          ...low.map((share) => ({
            weight: 0.4 / low.length,
            effect: { rails: [{ name: rail.name, share }] },
            text: `at about ${Math.round(share * 100)} % of its volts`,
          })),
        ],
      }),
    ),
    // Where no supply is drawn, one is missing all the same.
    ...chips
      .filter(() => railsOf(bench).length === 0)
      .map(
        (chip): Hypothesis => ({
          cause: 'supply-missing',
          at: [chip.designator],
          mode: null,
          prior: odds['supply-missing'],
          variants: one({ dead: dead(chip, true) }),
        }),
      ),
    ...chips.map((chip): Hypothesis => {
      const pins = copper.nodes.flatMap((node) =>
        node.pins.filter((pin) => pin.part === chip && roleOf(pin, node) === 'control' && node.name !== reference),
      );
      return {
        cause: 'held-off',
        at: pins.length > 0 ? pins.map((pin) => pin.name) : [chip.designator],
        mode: null,
        prior: odds['held-off'] * (pins.length > 0 ? 1 : 0.5),
        variants: [
          { weight: 0.5, effect: { dead: dead(chip, false) } },
          { weight: 0.5, effect: { dead: dead(chip, true) } },
        ],
      };
    }),
  ];
}
