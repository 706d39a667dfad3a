import type { BoardAnalysis, PinoutAnalysis } from '../../server/src/editor/analysis';
import { marked } from '../dialect/marker';
import { pinout } from '../dialect/texts';
import { analyseBoard, analysePinout } from '../harness/memory';

/** Marker tests: a text with `$0` where the cursor is, beside the contract's pinout. */
export async function atBoard(
  text: string,
  others: Readonly<Record<string, string | Uint8Array>> = { 'fw2210.pinout.yaml': pinout },
): Promise<{ analysis: BoardAnalysis; offset: number }> {
  const { text: plain, offset } = marked(text);
  return { analysis: await analyseBoard(plain, others), offset };
}

export async function atPinout(text: string): Promise<{ analysis: PinoutAnalysis; offset: number }> {
  const { text: plain, offset } = marked(text);
  return { analysis: await analysePinout(plain), offset };
}

/** `text` with the cursor `by` characters into the first place where `at` stands. */
export function cursor(text: string, at: string, by = 1): string {
  const index = text.indexOf(at);
  if (index < 0) throw new Error(`no ${at} in the text`);
  return `${text.slice(0, index + by)}$0${text.slice(index + by)}`;
}

/** The text a span covers. */
export const covered = (text: string, span: { start: number; end: number }): string => text.slice(span.start, span.end);
