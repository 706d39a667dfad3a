import { hypothesesFor } from './hypotheses/all';
import { type Ranked, ranked } from './groups';
import { type Stop, search, Weighing } from './search';
import { Scene } from './scene';
import { measuredOn } from './takes';
import type { Cause, Diagnosis, DiagnosisInput } from './types';

/** χ² of one measurement beyond which a cause leaves it unexplained: three standard deviations. */
const leftFrom = 9;

export function diagnose(input: DiagnosisInput, stop?: Stop): Diagnosis {
  const measured = measuredOn(input.board, input.figures);
  const scene = new Scene(input.board, measured);
  const bench = scene.bench(scene.state);
  if (!bench) return { causes: [], next: [], remedy: null, anythingWrong: false, enough: false, used: [], notes: [] };
  const weighing = new Weighing([scene]);
  const all = ranked(weighing, search(weighing, hypothesesFor(scene, bench), stop));
  return { causes: all.map(cause), next: [], remedy: null, anythingWrong: false, enough: false, used: [], notes: [] };
}

function cause(one: Ranked): Cause {
  const { hypothesis, probability, group, best } = one;
  const off = [...(best?.fit.off ?? [])];
  return {
    cause: hypothesis.cause,
    at: hypothesis.at,
    mode: hypothesis.mode,
    group,
    probability,
    explains: off.filter(([, square]) => square <= leftFrom).map(([label]) => label),
    leaves: off.filter(([, square]) => square > leftFrom).map(([label]) => label),
    figure: best?.variant.text ?? null,
    words: '',
    also: (hypothesis.of ?? []).slice(1).map(({ cause: also, at, mode }) => ({ cause: also, at, mode })),
  };
}
