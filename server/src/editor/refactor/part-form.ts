import type { Part } from '../../board/part';
import type { Pair } from '../../dialect/node';
import { parseQuantities } from '../../quantity/quantities';
import type { Span } from '../../text/span';
import type { Action } from '../actions';
import type { BoardAnalysis } from '../analysis';
import { scalar } from '../complete/item';
import { partNamed } from '../names';
import { asMap, pairOf, touched } from './nodes';

/** A part in short form becomes a map that can be added to, and a map that says no more than the short form can goes back to it. */
export function partForm({ parsed, board, text, uri }: BoardAnalysis, selection: Span): Action[] {
  const pair = touched(asMap(pairOf(parsed.tree.root, 'parts')?.value), selection);
  const part = pair && partNamed(board, pair.key.text);
  if (!pair?.value || !part || pair.value.repeat) return [];
  const [title, write] =
    pair.value.kind === 'scalar'
      ? ['Write as a map', longForm(part, pair)]
      : ['Write in short form', shortForm(part, pair, text)];
  if (write === undefined) return [];
  const from = text.indexOf(':', pair.key.span.end) + 1;
  const edits = [{ file: uri, span: { start: from, end: pair.value.span.end }, text: ` ${write}` }];
  return [{ title, kind: 'rewrite', safe: false, edits }];
}

const flow = { flow: true } as const;

function longForm(part: Part, { value }: Pair): string | undefined {
  if (value?.kind !== 'scalar' || value.misread || !part.fitted) return undefined;
  if (part.pinoutName?.short) return `{pinout: ${scalar(part.pinoutName.name, flow)}}`;
  if (part.style !== undefined && part.style === value.text.trim()) return `{style: ${part.style}}`;
  if (!part.value) return undefined;
  const { dimension } = part.value;
  const read = parseQuantities(value.text, {
    lead: [dimension],
    further: [
      'voltage',
      'current',
      'power',
      'percent',
      'ppm',
      ...(part.kind === 'crystal' ? (['capacitance'] as const) : []),
    ],
  });
  const keys = new Map<string, string>();
  keys.set('value', read.lead?.quantity?.text ?? '');
  for (const { quantity } of read.further) {
    if (!quantity) return undefined;
    const key =
      quantity.dimension === 'percent' || quantity.dimension === 'ppm'
        ? 'tolerance'
        : quantity.dimension === 'capacitance'
          ? 'load'
          : 'rating';
    if (keys.has(key)) return undefined;
    keys.set(key, quantity.text);
  }
  return `{${[...keys].map(([key, one]) => `${key}: ${scalar(one, flow)}`).join(', ')}}`;
}

/** What the short form says in one word or several: a value with rating and tolerance, or a chip's pinout, or a connector's style. */
function shortForm(part: Part, { value }: Pair, text: string): string | undefined {
  if (value?.kind !== 'map' || /(^|\s)#/.test(text.slice(value.span.start, value.span.end))) return undefined;
  const texts = new Map<string, string>();
  for (const one of value.pairs) {
    if (one.value?.kind !== 'scalar' || one.value.misread) return undefined;
    texts.set(one.key.text, one.value.text);
  }
  const names = [...texts.keys()];
  const only = names.length === 1 ? names[0] : undefined;
  if (only === 'pinout' && (part.kind === 'chip' || part.kind === 'regulator' || part.kind === 'op-amp'))
    return scalar(texts.get(only)!, { flow: false });
  if (only === 'style' && part.kind === 'connector') return texts.get(only);
  if (
    !texts.has('value') ||
    !part.value ||
    !names.every((name) => name === 'value' || name === 'rating' || name === 'tolerance')
  )
    return undefined;
  return ['value', 'rating', 'tolerance'].flatMap((name) => texts.get(name) ?? []).join(' ');
}
