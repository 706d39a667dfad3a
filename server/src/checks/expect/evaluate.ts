import type { Expectation } from '../../dialect/board-file';
import type { Snapshot } from '../check';
import { perSnapshot } from '../memo';
import { apart, joined } from './copper';
import { balance, distortion, level, noise } from './levels';
import { current, dc, frequency, ohms, supply } from './meters';
import type { Answer, Asked, Outcome } from './outcome';
import { phase } from './phase';
import { stereo } from './stereo';

export type ExpectationMap = NonNullable<Expectation['value']>;

/** Every expectation of a board tested against its measurements; those still half written are left out. */
export const evaluate = perSnapshot((snapshot): readonly Outcome[] =>
  (snapshot.board.parsed?.value?.expect?.value ?? []).flatMap((entry) => one(snapshot, entry) ?? []),
);

function one(snapshot: Snapshot, entry: Expectation): Outcome | undefined {
  const of = entry.value;
  if (!of) return undefined;
  const { board } = snapshot;
  const named = of.state?.value?.trim();
  if (named !== undefined && !board.states.includes(named)) return undefined;
  const state = named ?? board.lastState;
  const at = new Set<string>();
  const asked: Asked = {
    snapshot,
    state,
    points(words) {
      const written = words?.value;
      if (!written || written.length === 0) return undefined;
      const points = written.map((word) => board.point(word.text));
      if (points.some((point) => point === undefined)) return undefined;
      for (const point of points) at.add(point!.ref.name);
      return points.map((point) => point!);
    },
  };
  const [kind, answer] = answerTo(asked, of);
  if (!kind || !answer) return undefined;
  return { evidence: [], figures: {}, ...answer, at: [...at], kind, span: entry.span, state };
}

function answerTo(asked: Asked, of: ExpectationMap): [string?, Answer?] {
  if (of.stereo) return ['stereo', stereo(asked, of.stereo)];
  if (of['in-phase']) return ['in-phase', phase(asked, asked.points(of['in-phase']), 'same')];
  if (of.opposed) return ['opposed', phase(asked, asked.points(of.opposed), 'antiphase')];
  if (of.level) return ['level', level(asked, of.level)];
  if (of.balance) return ['balance', balance(asked, of.balance)];
  if (of.noise) return ['noise', noise(asked, of.noise)];
  if (of.distortion) return ['distortion', distortion(asked, of.distortion)];
  if (of.supply) return ['supply', supply(asked, of.supply)];
  if (of.dc) return ['dc', dc(asked, of.dc)];
  if (of.current) return ['current', current(asked, of.current)];
  if (of.ohms) return ['ohms', ohms(asked, of.ohms)];
  if (of.frequency) return ['frequency', frequency(asked, of.frequency)];
  if (of.joined) return ['joined', joined(asked, asked.points(of.joined))];
  if (of.apart) return ['apart', apart(asked, asked.points(of.apart))];
  return [];
}
