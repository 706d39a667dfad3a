import type { Board } from '../../board/board';
import type { Copper } from '../../board/copper';
import type { Capture, Reading } from '../../board/measured';
import type { ChannelFigures } from '../../signal/figures';
import { floors, overRange } from './priors';

/** A meter's reading, or the DC of a recording. */
export interface Metered {
  readonly label: string;
  readonly state: string;
  /** `above`, `below`: ohms known as a bound alone. `clock`: whether a crystal runs. */
  readonly kind: 'dc' | 'ohms' | 'above' | 'below' | 'diode' | 'farads' | 'esr' | 'amps' | 'clock';
  readonly from: string;
  readonly to: string | undefined;
  /**
   * V (`dc`, `diode`: 3 V where the meter shows nothing), Ω, ln of pF, of Ω (`esr`) or of A (`amps`); 1 or 0 for a clock that runs or
   * does not.
   */
  readonly value: number;
  /** One standard deviation of the measurement itself, in the same unit, beyond what its kind has anyway. */
  readonly sd?: number;
  /** The part a current flows through, a diode or capacitor that lies right between the points, or the crystal. */
  readonly part?: string;
}

/** The condition a meter of a kind works under: Hz, and whether the board is powered. A capacitance meter works near 120 Hz, one of
 * series resistance at 100 kHz (the usual instruments; from memory). */
export const conditionOf = ({
  kind,
}: Pick<Metered, 'kind'>): { readonly hertz: number; readonly powered: boolean } => ({
  hertz: kind === 'farads' ? 120 : kind === 'esr' ? 1e5 : 0,
  powered: kind === 'dc' || kind === 'amps' || kind === 'clock',
});

/** Ω below which a meter beeps. Common practice, no source. */
const beeps = 50;

/** What a diode range shows at most, V, and its test current, A. Common practice, no source. */
export const diodeRange = 3;
export const diodeTest = 1e-3;

/** ln of what a current of nothing counts as, A. */
const leastAmps = 1e-6;

/** ln of Ω, told apart down to what leads and contacts have. */
export const lnOhms = (ohms: number): number => Math.log(Math.max(ohms, 0) + 0.05);
/** ln of pF. */
export const lnFarads = (farads: number): number => Math.log(Math.max(farads, 1e-13) / 1e-12);
/** ln of A, either way round. */
export const lnAmps = (amps: number): number => Math.log(Math.max(Math.abs(amps), leastAmps));

/** A reading in the form the network is asked for; undefined where it says nothing here. */
export function meteredOf(reading: Reading, board: Board): Metered | undefined {
  const { kind, points, value, label, state } = reading;
  const copper = board.at(state);
  if (kind === 'amps') return amps(reading, copper);
  const from = points[0]?.ref.name;
  if (from === undefined) return undefined;
  const to = points[1]?.ref.name;
  const common = { label, state, from, to };
  switch (kind) {
    case 'dc':
      return Number.isFinite(value) ? { ...common, kind, value } : undefined;
    case 'beeps':
      return { ...common, kind: value ? 'below' : 'above', value: beeps };
    case 'ohms':
      if (!Number.isFinite(value)) return { ...common, kind: 'above', value: overRange / 2 };
      // The leads' own resistance is in it: below 1 Ω it is an upper bound.
      return value < 1 && !reading.zeroed ? { ...common, kind: 'below', value } : { ...common, kind, value };
    case 'diode':
      if (to === undefined || !junctionsKnown(copper, from, to)) return undefined;
      return { ...common, kind, value: Math.min(Math.max(value, 0), diodeRange) };
    case 'farads':
      return to === undefined || !(value > 0) || !Number.isFinite(value)
        ? undefined
        : { ...common, kind, value: lnFarads(value) };
    case 'esr': {
      const own = to === undefined ? undefined : between(copper, from, to, 'capacitor');
      return own === undefined || !Number.isFinite(value)
        ? undefined
        : { ...common, kind, value: lnOhms(value), part: own };
    }
    case 'frequency':
      return clock(reading, copper, from);
    default:
      return undefined;
  }
}

const diodes = new Set(['diode', 'led', 'zener', 'tvs']);
const transistors = new Set(['npn', 'pnp', 'nmos', 'pmos', 'jfet']);

/** Whether what a diode range shows between two points follows from parts: a chip's or a transistor's own junctions do not. */
function junctionsKnown(copper: Copper, from: string, to: string): boolean {
  const parts = [from, to].map((point) => new Set(copper.node(point)?.pins.map(({ part }) => part)));
  const own = [...parts[0]!].filter((part) => parts[1]!.has(part));
  if (own.some(({ kind }) => diodes.has(kind ?? ''))) return true;
  return ![...parts[0]!, ...parts[1]!].some(({ kind, pinout }) => pinout !== undefined || transistors.has(kind ?? ''));
}

/** The one fitted part of a kind that lies right between two points. */
function between(copper: Copper, from: string, to: string, kind: string): string | undefined {
  const [a, b] = [copper.node(from), copper.node(to)];
  const found = [...copper.parts.values()].filter(
    (part) =>
      part.fitted &&
      part.kind === kind &&
      ((copper.nodeOf(part, '1') === a && copper.nodeOf(part, '2') === b) ||
        (copper.nodeOf(part, '1') === b && copper.nodeOf(part, '2') === a)),
  );
  return found.length === 1 ? found[0]!.designator : undefined;
}

function amps({ through, value, label, state }: Reading, copper: Copper): Metered | undefined {
  const part = through === undefined ? undefined : copper.parts.get(through);
  if (!part?.fitted || !Number.isFinite(value)) return undefined;
  const ends = ['1', '2', 'A', 'K'].filter((pin) => copper.nodeOf(part, pin)).map((pin) => part.point(pin));
  return ends.length < 2
    ? undefined
    : { label, state, kind: 'amps', from: ends[0]!, to: ends[1]!, value: lnAmps(value), part: part.designator };
}

/** Share by which a running crystal may be off, and Hz below which it counts as still. Common practice, no source. */
const running = 0.01;
const still = 1;

/** A frequency read on a crystal's pin: it runs, or it does not; anything else says nothing here. */
function clock({ label, state, value }: Reading, copper: Copper, from: string): Metered | undefined {
  const node = copper.node(from);
  const crystal = node?.pins.map(({ part }) => part).find((part) => part.fitted && part.kind === 'crystal');
  const hertz = crystal?.value?.value;
  if (!crystal || hertz === undefined) return undefined;
  const runs = Math.abs(value - hertz) < running * hertz;
  if (!runs && value > still) return undefined;
  return { label, state, kind: 'clock', from, to: undefined, value: runs ? 1 : 0, part: crystal.designator };
}

/** The DC that a scaled recording with a DC coupling carries, as a reading of each of its points. */
export function dcOf(capture: Capture, label: string, channels: readonly ChannelFigures[]): Metered[] {
  const { groundLead } = capture;
  if (capture.coupling !== 'dc' || groundLead === 'none') return [];
  return capture.channels.flatMap((channel): Metered[] => {
    const own = channels.find(({ name }) => name === channel.key);
    const from = channel.points[0]?.ref.name;
    if (own?.unit !== 'V' || from === undefined || !Number.isFinite(own.dc)) return [];
    // A recorder's own offset: a share of what its range must hold.
    const range = Math.max(Math.abs(own.min), Math.abs(own.max));
    return [
      {
        label,
        state: capture.state,
        kind: 'dc',
        from,
        to: channel.points[1]?.ref.name ?? groundLead?.ref.name,
        value: own.dc,
        sd: Math.max(own.sd.dc ?? 0, floors.recorderOffset * range),
      },
    ];
  });
}
