import type { Bench } from './bench';
import { type Ranked, ranked } from './groups';
import { hypothesesFor } from './hypotheses/all';
import { nextProbes } from './next-probe';
import { remedyFor } from './remedy';
import { Scene } from './scene';
import { type Stop, search, Weighing } from './search';
import { measuredOn } from './takes';
import type { Cause, Diagnosis, DiagnosisInput } from './types';
import { filledScenes } from './unknowns';
import { verdictOf } from './verdict';
import { designedWords, upper, wordsFor } from './words';

/** χ² of one measurement beyond which a cause leaves it unexplained: three standard deviations. */
const leftFrom = 9;

/** Probability from which a group is told unasked, where one cause leads it so far, or so few make it up that all are named. */
const sureGroup = 0.9;
const sureCause = 0.5;
const fewEnough = 3;

const nothing: Diagnosis = {
  causes: [],
  next: [],
  remedy: null,
  anythingWrong: false,
  enough: false,
  used: [],
  notes: ['There is no ground, and no output with a return: nothing that voltages could be against.'],
};

/**
 * Which causes explain everything measured on a board, how likely each is, and what to measure next. Pure and the same on every
 * run; `stop` may end it early, with what was weighed until then.
 */
export function diagnose(input: DiagnosisInput, stop?: Stop): Diagnosis {
  // Once stopped it stays so, and no answer counts as complete.
  let stopped = false;
  const halted: Stop = () => {
    stopped ||= stop?.() ?? false;
    return stopped;
  };
  const measured = measuredOn(input.board, input.figures);
  const plain = new Scene(input.board, measured);
  const bench = plain.bench(plain.state);
  if (!bench) return nothing;
  const all = hypothesesFor(plain, bench);
  const { scenes, note } = filledScenes(
    plain,
    all.filter(({ cause }) => quick.has(cause)),
    halted,
  );
  const weighing = new Weighing(scenes);
  const order = ranked(weighing, search(weighing, all, halted));
  const many = new Set(scenes[0]!.takes.map(({ take }) => take.side)).size > 1;
  const tell = ({ hypothesis, best }: Ranked) => wordsFor(hypothesis, best?.variant, bench, many);
  const causes = order.map((one) => causeOf(one, tell(one)));
  const lead = order[0];
  const designed = causes.find(({ cause }) => cause === 'as-designed');
  const used = [
    ...scenes[0]!.takes.map(({ take }) => take.label),
    ...scenes[0]!.meters.map(({ meter }) => meter.label),
  ];
  const anythingWrong = used.length > 0 && designed !== undefined && designed.group !== causes[0]!.group;
  const verdict = verdictOf(causes);
  const next = nextProbes(scenes[0]!, bench, order, tell, halted);
  return {
    causes,
    next,
    remedy: lead ? remedyFor(lead, bench, input.board) : null,
    anythingWrong,
    enough:
      !stopped &&
      anythingWrong &&
      verdict !== undefined &&
      verdict.probability >= sureGroup &&
      causes[0]!.cause !== 'unexplained' &&
      // By what one side is lower may lie in any part of which nobody has stated the value.
      (note === undefined || causes[0]!.cause !== 'one-sided-source') &&
      (causes[0]!.probability >= sureCause || verdict.few <= fewEnough) &&
      designed.probability < 0.01,
    used,
    notes: [
      ...(stopped ? ['Stopped before every cause was weighed: what is told here is not all.'] : []),
      ...notesOf(
        bench,
        causes,
        scenes[0]!.takes.length > 0,
        [...measured.unused, ...scenes[0]!.lost.map((label) => `${label}: not in the network`)],
        measured.doubted ?? [],
        measured.hum ?? [],
        note,
      ),
    ],
  };
}

/** Causes by which draws of unknown values are judged. */
const quick = new Set([
  'as-designed',
  'output-mode',
  'side-dead',
  'polarity-reversed',
  'sides-exchanged',
  'mono-summed',
]);

function causeOf(one: Ranked, words: string): Cause {
  const { hypothesis, probability, group, best } = one;
  const off = [...(best?.fit.off ?? [])];
  const leaves = off.filter(([, square]) => square > leftFrom).map(([label]) => label);
  return {
    cause: hypothesis.cause,
    at: hypothesis.at,
    mode: hypothesis.mode,
    group,
    probability,
    explains: off.filter(([, square]) => square <= leftFrom).map(([label]) => label),
    leaves,
    figure: best?.variant.text ?? null,
    words: hypothesis.cause === 'as-designed' && leaves.length > 0 ? `${upper(designedWords(leaves))}.` : words,
    also: (hypothesis.of ?? []).slice(1).map(({ cause, at, mode }) => ({ cause, at, mode })),
  };
}

function notesOf(
  bench: Bench,
  causes: readonly Cause[],
  recorded: boolean,
  unused: readonly string[],
  doubted: readonly string[],
  hum: readonly ('hum' | 'ripple')[],
  unknown: string | undefined,
): string[] {
  const notes = unknown === undefined ? [] : [unknown];
  const open = causes.find(({ cause }) => cause === 'return-open');
  const designed = causes.find(({ cause }) => cause === 'as-designed');
  if (
    recorded &&
    open &&
    designed &&
    open.group === designed.group &&
    bench.joints.some(({ kind }) => kind === 'common')
  )
    notes.push(
      'An open return would not show here: the recorder finds its ground by another path. Record with its ground lead on the common contact alone, the recorder floating.',
    );
  const assumed = bench.copper.joins.filter((join) => join.evidence === 'assumed' && join.points.length > 1);
  if (assumed.length > 0)
    notes.push(
      `This rests on copper that is only assumed: ${assumed.map((join) => join.points.map(({ text }) => text).join(' ')).join('; ')}.`,
    );
  if (doubted.length > 0)
    notes.push(
      `The level of a bent tone says little about the network, and was taken as so uncertain: ${doubted.join(', ')}.`,
    );
  if (hum.length > 0)
    notes.push(
      `What may be ${hum.includes('ripple') ? 'ripple' : 'hum'} of the mains is heard. How loud it is, the network does not say: it only makes ${hum.includes('ripple') ? 'a spent capacitor of a supply' : 'an open return'} likelier here, and a cause told above need not explain it (see \`hum-present\`).`,
    );
  if (unused.length > 0) notes.push(`Not used: ${unused.join('; ')}.`);
  return notes;
}
