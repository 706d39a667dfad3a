import { joinText } from '../board/copper';
import { checkNames } from '../dialect/check-names';
import { assumptions } from '../quantity/figure';
import { compareFindings, type Finding, weaker } from '../text/finding';
import { matches } from './accepted';
import { type Check, type Draft, joinEvidence, type Snapshot } from './check';
import { checks } from './registry';

/**
 * Runs the checks of `which` on one snapshot, and returns their findings in their fixed order. `told` is what others have found
 * before. Findings about meaning inside a broken stretch of text are held back; what `accepted` names is left out.
 */
export function runChecks(
  snapshot: Snapshot,
  which: (check: Check) => boolean = () => true,
  told: readonly Finding[] = [],
): Finding[] {
  const findings: Finding[] = [];
  for (const check of checks) {
    if (!which(check)) continue;
    for (const draft of check.run(snapshot, [...told, ...findings])) {
      if (
        check.reads !== 'text' &&
        snapshot.broken.some((span) => span.start <= draft.span.start && draft.span.start <= span.end)
      )
        continue;
      findings.push(finish(check, draft, snapshot.board.file));
    }
  }
  return findings
    .filter((finding) => !snapshot.board.accepted.some((entry) => matches(entry, finding)))
    .sort(compareFindings);
}

/** Checks that reason over the whole board: too slow for every keystroke, they run beside the editor's thread. */
export const reasons = (check: Check): boolean => check.reads === 'diagnosis';

function finish(check: Check, draft: Draft, file: string): Finding {
  const joins = draft.joins ?? [];
  const guesses = [
    ...new Set([
      ...joins.filter((join) => join.evidence === 'assumed').map(joinText),
      ...assumptions(draft.basis ?? []).map((fact) => fact.what),
    ]),
  ];
  const severity = draft.severity ?? checkNames.get(check.name)!.severity;
  const taken = guesses.filter((guess) => / taken as /.test(guess));
  const copper = guesses.filter((guess) => !taken.includes(guess));
  const note = [
    copper.length === 0 ? '' : ` This rests on ${copper.join(' and ')}: buzz it out.`,
    taken.length === 0 ? '' : ` ${taken.join(' and ')}, which nobody has stated: measure it.`,
  ].join('');
  return {
    check: check.name,
    severity: guesses.length > 0 ? weaker(severity) : severity,
    place: { file, span: draft.span },
    message: draft.message + note,
    at: draft.at ?? [],
    evidence: [
      ...new Set([...(draft.evidence ?? []), ...joinEvidence(joins), ...(draft.basis ?? []).map((fact) => fact.what)]),
    ],
    figures: draft.figures ?? {},
    related: (draft.related ?? []).map((place) => ({
      place: { file: place.file ?? file, span: place.span },
      message: place.message,
    })),
    fixes: draft.fixes ?? [],
  };
}
