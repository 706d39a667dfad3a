import type { Node, Pair } from '../../dialect/node';
import type { Edit } from '../../text/finding';
import { blanks, breakOf, lineStart, nextLine, pairOf } from './nodes';

/** What is added to a map or list: `key: value`, or the text of an item; the remark goes where there is room for one. */
export interface Addition {
  readonly text: string;
  readonly remark?: string;
}

/**
 * The edit that adds some things at the end of the map or list a path leads to, in the style in which that is written; what is not there yet of the
 * path is made. Undefined where the path leads into something else, a repeat, or brackets that are not closed.
 */
export function insertion(
  text: string,
  file: string,
  root: Node | null,
  path: readonly string[],
  into: 'map' | 'list',
  additions: readonly Addition[],
): Edit | undefined {
  let holder = root;
  let pair: Pair | undefined;
  let depth = 0;
  for (; depth < path.length; depth++) {
    const next: Pair | undefined = pairOf(holder, path[depth]!);
    if (!next) break;
    pair = next;
    holder = next.value;
    if (!holder) {
      depth++;
      break;
    }
  }
  const rest = path.slice(depth);
  const wanted = rest.length > 0 ? 'map' : into;
  if (holder && (holder.repeat || holder.kind !== wanted)) return undefined;
  if (holder?.flow)
    return inBrackets(text, file, holder, nested(rest, into, additions.map((one) => one.text).join(', ')));
  const place = holder ? behindLast(text, holder) : pair && behindKey(text, pair);
  if (!place) return undefined;
  const end = breakOf(text);
  const line = (level: number, said: string) => `${blanks(place.column + 2 * level)}${said}${end}`;
  const entries = additions.map(({ text: entry, remark }) =>
    line(rest.length, `${into === 'list' ? '- ' : ''}${entry}${remark ? `  # ${remark}` : ''}`),
  );
  const block = [...rest.map((key, level) => line(level, `${key}:`)), ...entries].join('');
  const open = place.at > 0 && !/[\r\n]/.test(text[place.at - 1]!) ? end : '';
  return { file, span: { start: place.at, end: place.at }, text: open + block };
}

/** What is to be made of a path inside brackets, on one line. */
const nested = (rest: readonly string[], into: 'map' | 'list', text: string): string =>
  rest.reduceRight((inner, key, at) => {
    const [open, close] = at === rest.length - 1 && into === 'list' ? '[]' : '{}';
    return `${key}: ${open}${inner}${close}`;
  }, text);

function inBrackets(text: string, file: string, holder: Node, added: string): Edit | undefined {
  const { start, end } = holder.span;
  if (text[end - 1] !== (holder.kind === 'map' ? '}' : ']')) return undefined;
  const at = lastOf(holder)?.end ?? start + 1;
  return { file, span: { start: at, end: at }, text: at > start + 1 ? `, ${added}` : added };
}

interface Place {
  readonly at: number;
  readonly column: number;
}

const lastOf = (holder: Node) =>
  holder.kind === 'map'
    ? holder.pairs.at(-1)?.span
    : holder.kind === 'list'
      ? holder.items.findLast((item) => item !== null)?.span
      : undefined;

function behindLast(text: string, holder: Node): Place | undefined {
  const last = lastOf(holder);
  if (!last) return undefined;
  const first = holder.kind === 'map' ? holder.pairs[0]!.span : holder.span;
  return { at: nextLine(text, last.end), column: first.start - lineStart(text, first.start) };
}

/** Below a key that has nothing yet. */
function behindKey(text: string, { key, bare }: Pair): Place | undefined {
  if (bare) return undefined;
  return { at: nextLine(text, key.span.end), column: key.span.start - lineStart(text, key.span.start) + 2 };
}
