import type { Span } from '../text/span';
import { type Spot, spotAt } from './outline';
import { itemOf, listForm, mapForm, type Path, scalarForm, valueAt } from './step';
import type { EntriesType, RecordType, Type } from './type';

/** What may be written at an offset, going by indentation and brackets alone: the text need not parse. */
export interface Context {
  /** The map whose keys may be written here. */
  readonly keys?: RecordType | EntriesType;
  /** What a text written here is read as. */
  readonly value?: Type;
  /** Where that map or value is: keys and list indices from the root. */
  readonly path: Path;
  /** What has been typed so far, from the start of the key, word or value to the offset. */
  readonly prefix: string;
  /** What a completion replaces. */
  readonly span: Span;
  /** Keys the map already has; of a list of words, the words. What stands at the offset is left out. */
  readonly used: readonly string[];
  /** Inside brackets. */
  readonly flow: boolean;
  /** Inside quotes, of this kind. */
  readonly quote?: string;
  /** What has to be put before a completion: a space behind a colon or dash, or a dash for a new entry of a list. */
  readonly lead: '' | ' ' | '- ';
  /** A colon stands behind the key already. */
  readonly colon: boolean;
  /** A list belongs here and its bracket is not open yet: what is written goes into brackets. */
  readonly unopened?: true;
}

/**
 * What may be written at an offset of any text of this type; undefined where the dialect has nothing to say, as in a comment. Linear in the
 * text, never throws.
 */
export function contextAt(type: Type, text: string, offset: number): Context | undefined {
  const spot = spotAt(text, Math.max(0, Math.min(offset, text.length)));
  if (!spot) return undefined;
  let { path, lead } = spot;
  let at = typeAt(type, path);
  const keys = spot.kind === 'value' ? undefined : mapForm(at);
  if (spot.kind === 'below' && !keys && listForm(at)) {
    // Below a key that takes a list a new entry starts, dash first.
    at = itemOf(at);
    path = [...path, 0];
    lead = '- ';
    return context(spot, text, offset, { path, lead, keys: mapForm(at), value: scalarForm(at) });
  }
  // On a line of its own below a key nobody starts a text where a map can be.
  const value = spot.kind === 'key' || (spot.kind === 'below' && keys) ? undefined : scalarForm(at);
  const item = spot.kind === 'value' && !value && !spot.quote ? scalarForm(itemOf(at)) : undefined;
  if (item?.kind === 'choice')
    return context(spot, text, offset, { path: [...path, 0], lead, keys, value: item, unopened: true });
  return context(spot, text, offset, { path, lead, keys, value });
}

/** The type of the table at a path. */
export const typeAt = (root: Type, path: Path): Type | undefined =>
  path.reduce<Type | undefined>((type, step) => (typeof step === 'number' ? itemOf(type) : valueAt(type, step)), root);

type Wanted = Pick<Context, 'path' | 'lead' | 'unopened'> & {
  keys: Context['keys'] | undefined;
  value: Type | undefined;
};

function context(spot: Spot, text: string, offset: number, wanted: Wanted): Context | undefined {
  const { path, lead, keys, value, unopened } = wanted;
  if (!keys && !value) return undefined;
  // Of several words only the one at the offset is being typed: of a list on one line, or the points of a short form.
  const several = value?.kind === 'words' || (keys?.kind === 'record' && keys.other !== undefined);
  const start = several ? spot.start + /[^\s,]*$/.exec(text.slice(spot.start, offset))!.index : spot.start;
  const end = several ? offset + /^[^\s,:]*/.exec(text.slice(offset, spot.end))![0].length : Math.max(spot.end, offset);
  const line = [...text.slice(spot.start, spot.end).matchAll(/[^\s,]+/g)].map((match) => ({
    name: match[0],
    start: spot.start + match.index,
  }));
  const used = value?.kind === 'words' ? [...(spot.flow ? spot.used : []), ...line] : spot.used;
  return {
    ...(keys && { keys }),
    ...(value && { value }),
    path,
    prefix: text.slice(start, offset),
    span: { start, end },
    used: [...new Set(used.filter((name) => name.start !== start).map((name) => name.name))],
    flow: spot.flow,
    ...(spot.quote && { quote: spot.quote }),
    lead,
    ...(unopened && { unopened }),
    colon: /^["']?[ \t]*:(\s|[,\]}]|$)/.test(text.slice(end, end + 40)),
  };
}
