import { parseBoard, type parsePinout } from '../../server/src/dialect/parse';
import type { Problem } from '../../server/src/dialect/type';

type Parse = typeof parseBoard | typeof parsePinout;

/** Problems in short: `check: the text they stand at`. */
export const findings = (text: string, parse: Parse = parseBoard): string[] =>
  parse(text).problems.map(({ check, span }) => `${check}: ${text.slice(span.start, span.end)}`);

/** The text with the first fix of a problem applied. */
export function fixed(text: string, { fixes }: Problem): string {
  let result = text;
  for (const { span, text: put } of [...fixes![0]!.edits].sort((a, b) => b.span.start - a.span.start)) {
    result = result.slice(0, span.start) + put + result.slice(span.end);
  }
  return result;
}

/** The text with the first fix of every problem applied, one after the other, until none has one. */
export function mended(text: string, parse: Parse = parseBoard): string {
  let result = text;
  for (let round = 0; round < 20; round++) {
    const problem = parse(result).problems.find(({ fixes }) => fixes);
    if (!problem) return result;
    result = fixed(result, problem);
  }
  throw new Error(`fixes do not come to an end: ${result}`);
}
