import type { Finding, Place, Severity } from '../text/finding';
import type { Span } from '../text/span';
import type { Analysis } from './analysis';

/** A finding as the editor shows it: a squiggle with places beside it. */
export interface Diagnostic {
  readonly span: Span;
  readonly severity: Severity;
  /** The check. */
  readonly code: string;
  readonly message: string;
  readonly related: readonly { readonly place: Place; readonly message: string }[];
  /** What it is about could be deleted. */
  readonly unnecessary: boolean;
  /** For whoever answers a request about it later. */
  readonly data: { readonly check: string; readonly at: readonly string[]; readonly fixes: number };
}

/** The findings of a file, in their order, with squiggles that can be seen and do not cover a page. */
export const diagnostics = (analysis: Analysis): Diagnostic[] =>
  analysis.findings
    .filter((finding) => finding.place.file === analysis.uri)
    .map((finding) => ({
      span: shown(finding.place.span, analysis.text),
      severity: finding.severity,
      code: finding.check,
      message: finding.message,
      related: related(finding),
      unnecessary: finding.check === 'acceptance-unused',
      data: { check: finding.check, at: finding.at, fixes: finding.fixes.length },
    }));

/** Related places, each once; the finding's own place is no news. */
function related(finding: Finding): Diagnostic['related'] {
  const seen = new Set<string>([key(finding.place)]);
  return finding.related.filter(({ place }) => !seen.has(key(place)) && seen.add(key(place)));
}

const key = ({ file, span }: Place): string => `${file} ${span.start} ${span.end}`;

/** A span over several lines is shown on its first; one of nothing is shown on the character beside it. */
export function shown(span: Span, text: string): Span {
  const start = Math.max(0, Math.min(span.start, text.length));
  const line = text.slice(start, span.end).search(/[\r\n]/);
  const end = Math.min(line > 0 ? start + line : span.end, text.length);
  if (end > start && line !== 0) return { start, end };
  if (start < text.length && !/[\r\n]/.test(text[start]!)) return { start, end: start + 1 };
  return start > 0 && !/[\r\n]/.test(text[start - 1]!) ? { start: start - 1, end: start } : { start, end: start };
}
