import { headline, verdictOf } from '../../diagnosis/causes/verdict';
import type { Check, Draft } from '../check';
import { diagnosed } from './diagnosed';

export const causeLikely: Check = {
  name: 'cause-likely',
  reads: 'diagnosis',
  page: {
    meaning:
      'One cause, or one small group of causes that nothing measured can tell apart, explains what was measured on this board much better than any other. The network was worked out under every cause thought of, one and two at a time, and held against every capture and reading.',
    causes:
      'Those that nothing measured can tell apart are named together, each with its share; `buzzout diagnose` lists all, with what each leaves unexplained.',
    next: 'What `buzzout diagnose` proposes: the measurement that is expected to tell most for its effort.',
    source:
      'Model-based diagnosis (de Kleer and Williams, Artificial Intelligence 32, 1987). How often each cause is met, part tolerances and the floors of 0.2 dB and 1° are common practice, no source.',
    blind:
      'Silent when the board as designed explains what was measured, and while the evidence is thin: a group below 90 %, or one of more than three causes of which none reaches 50 %. Needs a board with a ground, an output whose side or mode is known, and a capture of a tone or noise whose side is stated. Linear network only: clipping, oscillation and noise are not simulated; the level of a bent tone counts for little, and one tone cannot tell an echo from a loudness. What chips draw is not known: a current says no more than dead, usual or short.',
  },
  run(snapshot): Draft[] {
    const { title } = snapshot.board;
    if (!title || snapshot.captures.size === 0) return [];
    if ([...snapshot.captures.values()].some((state) => state.is === 'pending')) return [];
    const { causes, enough } = diagnosed(snapshot);
    const verdict = verdictOf(causes);
    if (!enough || !verdict) return [];
    const { members, few, probability } = verdict;
    const named = members.slice(0, few);
    return [
      {
        span: title.span,
        message: headline(verdict),
        at: [...new Set(named.flatMap(({ at }) => at))].filter(
          (point) => snapshot.board.point(point) !== undefined || /^[A-Z]+\d+$/.test(point),
        ),
        evidence: members[0]!.explains,
        figures: { probability, leading: members[0]!.probability },
      },
    ];
  },
};
