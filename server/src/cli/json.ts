import type { Analysis } from '../editor/analysis';

/** A file that has been checked, and the path it is shown by. */
export interface CheckedFile {
  readonly analysis: Analysis;
  readonly path: string;
  readonly shown: (uri: string) => string;
}

/** The findings as the stable JSON of the command line. */
export function findingsJson(files: readonly CheckedFile[]): string {
  const findings = files.flatMap(({ analysis, path, shown }) =>
    analysis.findings.map((finding) => ({
      check: finding.check,
      severity: finding.severity,
      file: path,
      range: analysis.lines.range(finding.place.span),
      message: finding.message,
      at: finding.at,
      evidence: finding.evidence,
      figures: finding.figures,
      related: finding.related.map((place) =>
        place.place.file === analysis.uri
          ? { file: path, range: analysis.lines.range(place.place.span), message: place.message }
          : { file: shown(place.place.file), message: place.message },
      ),
    })),
  );
  return `${JSON.stringify({ findings }, jsonNumber, 2)}\n`;
}

/** JSON has no infinities: they become null. */
export const jsonNumber = (_key: string, value: unknown): unknown =>
  typeof value === 'number' && !Number.isFinite(value) ? null : value;
