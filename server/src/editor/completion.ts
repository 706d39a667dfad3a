import { boardFile } from '../dialect/board-file';
import { contextAt } from '../dialect/context';
import { pinoutFile } from '../dialect/pinout-file';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import type { CompletionItem, Offer, Place, Surroundings } from './complete/item';
import { keyOffers } from './complete/keys';
import { valueOffers } from './complete/values';
import { blanks, lineStart } from './refactor/nodes';
import { snippetsAt, snippetText } from './snippets';

export type { CompletionItem, Surroundings } from './complete/item';

/**
 * What may be written at an offset: keys not there yet, words, references, units; going by indentation and brackets, so that a line
 * which does not parse yet is served like any other.
 */
export function completion(
  analysis: BoardAnalysis | PinoutAnalysis,
  offset: number,
  around: Surroundings = {},
): CompletionItem[] {
  const { text } = analysis;
  const context = contextAt(analysis.kind === 'board' ? boardFile : pinoutFile, text, offset);
  if (!context) return [];
  const column = context.span.start - lineStart(text, context.span.start);
  const indent = blanks(column + (context.lead === '- ' ? 2 : 0));
  const place: Place = { analysis, context, around, indent };
  const offers = unlike([...valueOffers(place), ...keyOffers(place), ...snippetOffers(place)]);
  const ranked = offers
    .map((offer, index) => ({ offer, rank: offer.rank ?? 0, index }))
    .sort((a, b) => a.rank - b.rank || a.index - b.index);
  return ranked.map(({ offer }, index) => item(offer, place, index));
}

/** Whole entries, behind all else: on an empty place of a block alone. */
function snippetOffers({ analysis, context, indent }: Place): Offer[] {
  if (context.flow || context.quote || context.colon || context.lead === ' ') return [];
  if (context.path.length === 0 && context.used.length > 0) return [];
  const { text } = analysis;
  if (!/^[ \t]*(-[ \t]*)?$/.test(text.slice(lineStart(text, context.span.start), context.span.start))) return [];
  const begun = snippetsAt(analysis.kind, context.path).filter(({ label }) => label.startsWith(context.prefix));
  return begun.map((snippet) => ({
    label: snippet.label,
    kind: 'name',
    detail: snippet.detail,
    write: snippetText(snippet, indent),
    snippet: true,
    rank: 100,
  }));
}

function item(offer: Offer, { context }: Place, index: number): CompletionItem {
  const { lead, unopened } = context;
  return {
    label: offer.label,
    kind: offer.kind,
    insertText: lead + (unopened ? `[${offer.write}$0]` : offer.write),
    span: context.span,
    sortText: String(index).padStart(4, '0'),
    ...(offer.detail && { detail: offer.detail }),
    ...(offer.documentation && { documentation: offer.documentation }),
    ...((offer.snippet || unopened) && { snippet: true as const }),
    ...(offer.again && { again: true as const }),
    ...(offer.filter && { filterText: offer.filter }),
  };
}

/** Each label once, the first of its kind. */
function unlike(offers: readonly Offer[]): Offer[] {
  const seen = new Set<string>();
  return offers.filter((offer) => !seen.has(offer.label) && seen.add(offer.label));
}
