import type { Pinout } from '../../board/pinout';
import { priors } from './weights';

export type Numbering = 'as-marked' | 'half-turn' | 'quarter-turn' | 'three-quarter-turn' | 'mirrored';

/** One way the pins may have been counted. */
export interface Counting {
  readonly numbering: Numbering;
  /** Written pin (index into the keys) → data-sheet pin (index), −1 where the package has none there. */
  readonly sheet: Int32Array;
  /** Its share before anything is seen; those of one package sum to 1. */
  readonly prior: number;
}

/** The pins of a package as written keys, and the ways to count them. The exposed pad is not among them: it never turns. */
export interface Countings {
  readonly keys: readonly string[];
  readonly index: ReadonlyMap<string, number>;
  readonly ways: readonly Counting[];
}

const fourSidedStyle = /q(f|fn|fp|fj)|lcc|mlf|mlp|lqfp|tqfp|dqfn/i;

/**
 * Whether a package has pins on four sides: by its style, and where that is unknown by its number of pins (a multiple of four from 24
 * on may be). Two-sided styles and grids have not.
 */
export const isFourSided = (style: string | undefined, pins: number): boolean =>
  pins % 4 === 0 && (style === undefined ? pins >= 24 : fourSidedStyle.test(style));

interface Way {
  readonly numbering: Numbering;
  readonly sheet: Int32Array;
  /** Of the reflections, the two that slips lead to. */
  readonly usual?: boolean;
}

function weighed(ways: readonly Way[]): Counting[] {
  const distinct = ways.filter(
    (way, at) => !ways.slice(0, at).some((other) => other.sheet.every((to, from) => to === way.sheet[from])),
  );
  const mirrors = distinct.filter((way) => way.numbering === 'mirrored');
  const usual = mirrors.filter((way) => way.usual).length;
  const weights = distinct.map((way) => {
    const share = priors.numbering[way.numbering];
    if (way.numbering !== 'mirrored') return share;
    if (usual === 0 || usual === mirrors.length) return share / mirrors.length;
    return way.usual
      ? (share * priors.usualMirror) / usual
      : (share * (1 - priors.usualMirror)) / (mirrors.length - usual);
  });
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return distinct.map(({ numbering, sheet }, at) => ({ numbering, sheet, prior: weights[at]! / sum }));
}

/**
 * Pins in a row around the package, n of them: turns add a quarter, half or three quarters of n; reflections run the other way, from
 * pin 1 or its neighbour n (counted clockwise, or seen from below), or from the same places at another corner.
 */
function around(n: number, fourSided: boolean): Countings {
  const keys = Array.from({ length: n }, (_, at) => String(at + 1));
  const wrap = (at: number) => ((at % n) + n) % n;
  const turned = (by: number) => Int32Array.from(keys, (_, at) => wrap(at + by));
  // Written index 0 is data-sheet index `from`, and the count goes down from there.
  const reflected = (from: number) => Int32Array.from(keys, (_, at) => wrap(from - at));
  const ways: Way[] = [{ numbering: 'as-marked', sheet: turned(0) }];
  const corners = [0];
  if (n % 2 === 0) {
    ways.push({ numbering: 'half-turn', sheet: turned(n / 2) });
    corners.push(n / 2);
  } else if (n > 1) corners.push((n + 1) / 2);
  if (fourSided) {
    ways.push({ numbering: 'quarter-turn', sheet: turned(n / 4) });
    ways.push({ numbering: 'three-quarter-turn', sheet: turned((3 * n) / 4) });
    corners.push(n / 4, (3 * n) / 4);
  }
  for (const corner of corners)
    for (const from of [corner - 1, corner])
      ways.push({ numbering: 'mirrored', sheet: reflected(from), usual: corner === 0 });
  return { keys, index: new Map(keys.map((key, at) => [key, at])), ways: weighed(ways) };
}

/** Rows of a ball grid in JEDEC order, which leaves out letters that look like others. */
const rowRank = (row: string): number => [...row].reduce((rank, letter) => rank * 32 + letter.charCodeAt(0) - 64, 0);

/** Balls by row and column: turned by half, or seen from below. */
function grid(keys: readonly string[]): Countings {
  const index = new Map(keys.map((key, at) => [key, at]));
  const split = keys.map((key) => /^([A-Z]+)(\d+)$/.exec(key)!);
  const rows = [...new Set(split.map((match) => match[1]!))].sort((a, b) => rowRank(a) - rowRank(b));
  const columns = Math.max(...split.map((match) => Number(match[2])));
  const moved = (upDown: boolean, leftRight: boolean) =>
    Int32Array.from(split, (match) => {
      const row = rows.indexOf(match[1]!);
      const toRow = rows[upDown ? rows.length - 1 - row : row]!;
      const toColumn = leftRight ? columns + 1 - Number(match[2]) : match[2];
      return index.get(`${toRow}${toColumn}`) ?? -1;
    });
  return {
    keys,
    index,
    ways: weighed([
      { numbering: 'as-marked', sheet: moved(false, false) },
      { numbering: 'half-turn', sheet: moved(true, true) },
      { numbering: 'mirrored', sheet: moved(false, true) },
      { numbering: 'mirrored', sheet: moved(true, false) },
    ]),
  };
}

const rows = new Map<string, Countings>();

/** Ways to count `n` pins in a row around a package. */
export function countAround(n: number, fourSided: boolean): Countings {
  const key = `${n} ${fourSided}`;
  let made = rows.get(key);
  if (!made) {
    made = around(n, fourSided);
    rows.set(key, made);
  }
  return made;
}

/**
 * The ways a pinout's pins may have been counted.
 * @param partStyle the part's package as the board states it, used where the pinout states none
 * @param partPins how many pins the board says the part has, likewise
 */
export function countingsOf(pinout: Pinout, partStyle: string | undefined, partPins: number | undefined): Countings {
  const balls: string[] = [];
  let last = 0;
  for (const key of pinout.pins.keys()) {
    const number = Number(key);
    if (number >= 1) last = Math.max(last, number);
    else if (key !== 'EP' && /^[A-Z]+\d+$/.test(key)) balls.push(key);
  }
  if (balls.length > 0) return grid(balls);
  const n = pinout.pinCount ?? partPins ?? last;
  return countAround(n, isFourSided(pinout.packageStyle ?? partStyle, n));
}
