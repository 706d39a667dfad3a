import type { ChannelFigures } from '../../signal/figures';
import type { Draft, Snapshot } from '../check';
import type { StereoView } from './views';

const minus = (text: string) => text.replace('-', '−');

/** A number with so many places and a true minus. */
export const fixed = (value: number, places: number): string =>
  minus(value.toFixed(places)).replace(/^−(0(\.0*)?)$/, '$1');

/** Degrees with one place; a half turn is 180, from whichever side it comes. */
export const degrees = (value: number): string => `${fixed(value <= -179.95 ? 180 : value, 1)}°`;

/** The level of a channel without DC, where its scale lets it be said: dBV, else dBFS. */
export function level(channel: ChannelFigures): string {
  if (channel.level.dbv !== null) return `${fixed(channel.level.dbv, 1)} dBV`;
  if (channel.level.dbfs !== null) return `${fixed(channel.level.dbfs, 1)} dBFS`;
  return 'silent';
}

/** The figures of a view as a finding carries them. */
export const pairFigures = (view: StereoView): NonNullable<Draft['figures']> => ({
  phase: view.phase,
  correlation: view.pair.correlation,
  coherence: view.pair.coherence,
  balance: view.balance,
  leftLevel: view.leftFigures.level.dbv ?? view.leftFigures.level.dbfs,
  rightLevel: view.rightFigures.level.dbv ?? view.rightFigures.level.dbfs,
  levelUnit: view.leftFigures.level.dbv !== null ? 'dBV' : 'dBFS',
  relation: view.pair.relation,
});

/** "179.8° at 997 Hz, correlation −1.00, left −9.0 dBV, right −9.1 dBV". */
export function pairWords(view: StereoView): string {
  const tone = view.leftFigures.tone ?? view.rightFigures.tone;
  const parts = [
    view.phase === null ? undefined : `phase ${degrees(view.phase)}${tone ? ` at ${fixed(tone.frequency, 0)} Hz` : ''}`,
    view.pair.correlation === null ? undefined : `correlation ${fixed(view.pair.correlation, 2)}`,
    view.pair.coherence === null ? undefined : `coherence ${fixed(view.pair.coherence, 2)}`,
    `left ${level(view.leftFigures)}, right ${level(view.rightFigures)}`,
  ];
  return parts.filter((part) => part !== undefined).join(', ');
}

/** Where the two points of a view are declared as nets, as related places; other recordings that say the same too. */
export function relatedNets({ board }: Snapshot, views: readonly StereoView[]): NonNullable<Draft['related']> {
  const [first, ...others] = views;
  if (!first) return [];
  const nets = [first.left, first.right].flatMap((name, index) => {
    const net = board.nets.get(name);
    return net ? [{ span: net.keySpan, message: index === 0 ? 'the left side' : 'the right side' }] : [];
  });
  return [
    ...nets,
    ...others
      .filter((view) => view.capture !== first.capture)
      .map((view) => ({ span: view.capture.keySpan, message: `${view.label} shows the same: ${pairWords(view)}` })),
  ];
}
