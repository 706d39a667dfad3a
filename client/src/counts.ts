import { type Diagnostic, DiagnosticSeverity } from 'vscode';

const words = [
  [DiagnosticSeverity.Error, 'error'],
  [DiagnosticSeverity.Warning, 'warning'],
  [DiagnosticSeverity.Information, 'info'],
  [DiagnosticSeverity.Hint, 'hint'],
] as const;

/** How many of each severity, the gravest first: "1 error", "2 warnings". Nothing where there is nothing. */
export const counted = (findings: readonly Diagnostic[]): string[] =>
  words.flatMap(([severity, word]) => {
    const number = findings.filter((one) => one.severity === severity).length;
    return number === 0 ? [] : [`${number} ${plural(word, number)}`];
  });

const plural = (word: string, number: number) => (number === 1 || word === 'info' ? word : `${word}s`);
