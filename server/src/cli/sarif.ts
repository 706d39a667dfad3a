import { checks } from '../checks/registry';
import { checkNames } from '../dialect/check-names';
import type { Severity } from '../text/finding';
import type { CheckedFile } from './json';
import { jsonNumber } from './json';

/** SARIF 2.1.0 (OASIS): an info and a hint are both its `note`. */
const levels: Record<Severity, 'error' | 'warning' | 'note'> = {
  error: 'error',
  warning: 'warning',
  info: 'note',
  hint: 'note',
};

/** The findings as one SARIF run; lines and columns count from 1, columns in UTF-16 code units. */
export function findingsSarif(files: readonly CheckedFile[], version: string): string {
  const rules = checks.map((check) => ({
    id: check.name,
    shortDescription: { text: firstSentence(check.page.meaning) },
    fullDescription: { text: check.page.meaning },
    help: {
      text: `${check.page.causes}\n\n${check.page.next}`,
      markdown: `**Other causes.** ${check.page.causes}\n\n**What to probe next.** ${check.page.next}`,
    },
    defaultConfiguration: { level: levels[checkNames.get(check.name)!.severity] },
  }));
  const index = new Map(rules.map((rule, at) => [rule.id, at]));
  const results = files.flatMap(({ analysis, path, shown }) =>
    analysis.findings.map((finding) => {
      const region = ({ start, end }: { start: number; end: number }) => {
        const range = analysis.lines.range({ start, end });
        return {
          startLine: range.start.line + 1,
          startColumn: range.start.character + 1,
          endLine: range.end.line + 1,
          endColumn: range.end.character + 1,
        };
      };
      const related = finding.related.map((place, id) => ({
        id,
        message: { text: place.message },
        physicalLocation: {
          artifactLocation: { uri: toUri(place.place.file === analysis.uri ? path : shown(place.place.file)) },
          ...(place.place.file === analysis.uri && { region: region(place.place.span) }),
        },
      }));
      const rule = index.get(finding.check);
      return {
        ruleId: finding.check,
        ...(rule !== undefined && { ruleIndex: rule }),
        level: levels[finding.severity],
        message: { text: finding.message },
        locations: [
          {
            physicalLocation: {
              artifactLocation: { uri: toUri(path) },
              ...(analysis.text !== '' && { region: region(finding.place.span) }),
            },
            ...(finding.at.length > 0 && { logicalLocations: finding.at.map((name) => ({ name, kind: 'element' })) }),
          },
        ],
        ...(related.length > 0 && { relatedLocations: related }),
        properties: { severity: finding.severity, evidence: finding.evidence, figures: finding.figures },
      };
    }),
  );
  const log = {
    $schema: 'https://json.schemastore.org/sarif-2.1.0.json',
    version: '2.1.0',
    runs: [{ tool: { driver: { name: 'buzzout', version, rules } }, columnKind: 'utf16CodeUnits', results }],
  };
  return `${JSON.stringify(log, jsonNumber, 2)}\n`;
}

const firstSentence = (text: string) => /^.*?[.:](?=\s|$)/.exec(text)?.[0].replace(/:$/, '.') ?? text;

/** A path as a relative or absolute URI reference. */
const toUri = (path: string): string =>
  path
    .replace(/\\/g, '/')
    .split('/')
    .map((segment) => encodeURIComponent(segment))
    .join('/');
