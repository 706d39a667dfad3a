import type { Context } from '../../dialect/context';
import type { Span } from '../../text/span';
import type { BoardAnalysis, PinoutAnalysis } from '../analysis';

/** What an item is, for its icon. */
export type ItemKind =
  | 'key'
  | 'word'
  | 'pin'
  | 'net'
  | 'part'
  | 'pinout'
  | 'mode'
  | 'state'
  | 'check'
  | 'file'
  | 'unit'
  | 'name';

/** One thing that may be written here. Lines in `insertText` are indented as they must stand. */
export interface CompletionItem {
  readonly label: string;
  readonly kind: ItemKind;
  readonly detail?: string;
  /** Markdown. */
  readonly documentation?: string;
  readonly insertText: string;
  /** `insertText` has `$0` where the cursor goes, `\$` for a dollar sign. */
  readonly snippet?: true;
  /** What it replaces. */
  readonly span: Span;
  readonly sortText: string;
  /** What typing is matched against, where not the label. */
  readonly filterText?: string;
  /** Not finished by this: the editor should ask again at once. */
  readonly again?: true;
}

/** An item before it is known where it goes: text to write, without what must be put before it. */
export interface Offer {
  readonly label: string;
  readonly kind: ItemKind;
  readonly write: string;
  readonly detail?: string | undefined;
  readonly documentation?: string | undefined;
  readonly filter?: string;
  readonly snippet?: true;
  readonly again?: true;
  /** Smaller comes first; those of one rank keep their order. */
  readonly rank?: number;
}

/** What the folder around a board holds, where the host has looked. */
export interface Surroundings {
  /** Recordings in reach, relative to the board, with length and rate where known. */
  readonly captureFiles?: readonly { readonly path: string; readonly detail?: string }[];
  /** Channels of a recording, by its path as written. */
  readonly channels?: (path: string) => readonly string[] | undefined;
}

/** What an offer is made from. */
export interface Place {
  readonly analysis: BoardAnalysis | PinoutAnalysis;
  readonly context: Context;
  readonly around: Surroundings;
  /** Where a new line below the key typed here would be indented to. */
  readonly indent: string;
}

/** A text as a YAML scalar that reads back as itself: bare where that is safe, else in double quotes. */
export function scalar(text: string, { flow, quote }: Pick<Context, 'flow' | 'quote'>): string {
  if (quote === "'") return text.replaceAll("'", "''");
  if (quote === '"') return text.replace(/["\\]/g, '\\$&');
  const special = /^[\s!*&#@%>|"'`?,[\]{}]|^-(\s|$)|^~$|^$|\s$|:(\s|$)|\s#|[\n\r\t]/.test(text);
  return special || (flow && /[,[\]{}]/.test(text)) ? `"${text.replace(/["\\]/g, '\\$&')}"` : text;
}
