import type { MapNode, Node, Pair } from '../../dialect/node';
import type { Edit } from '../../text/finding';
import type { Span } from '../../text/span';
import type { Action } from '../actions';
import type { BoardAnalysis } from '../analysis';
import { scalar } from '../complete/item';
import { partNamed } from '../names';
import { asMap, blanks, breakOf, lineEnd, lineStart, pairOf, touched } from './nodes';

/** The inline pins of a chip become a pinout file of their own, and every part of the board with the same pins goes by it. */
export function extractPinout({ parsed, board, text, uri }: BoardAnalysis, selection: Span): Action[] {
  const parts = asMap(pairOf(parsed.tree.root, 'parts')?.value);
  const entry = touched(parts, selection);
  const pins = pairOf(entry?.value, 'pins');
  const part = entry && partNamed(board, entry.key.text);
  if (!parts || !entry || !pins?.value || !part?.pinout?.inline || pins.value.repeat) return [];
  const lines = pinLines(pins, text);
  if (lines === undefined) return [];
  const name = freeName(part.marking ?? entry.key.text, new Set(board.pinouts.keys()));
  const shape = plain(pins.value);
  const same = parts.pairs.flatMap((one): Pair[] => {
    const own = pairOf(one.value, 'pins');
    // Remarks between the pins go along with those that are moved; others' would be lost.
    if (own !== pins && own && /(^|\s)#/.test(text.slice(own.span.start, own.span.end))) return [];
    return own?.value && plain(own.value) === shape ? [own] : [];
  });
  const edits = same.map((one): Edit => {
    const end =
      one === pins && one.value?.kind === 'map' && !one.value.flow ? lineEnd(text, one.span.end) : one.span.end;
    return { file: uri, span: { start: one.span.start, end }, text: `pinout: ${name}` };
  });
  const head = [
    `pinout: ${name}`,
    ...(part.packageStyle ? [`package: ${scalar(part.packageStyle, { flow: false })}`] : []),
  ];
  return [
    {
      title:
        same.length > 1
          ? `Move these pins to ${name}.pinout.yaml (${same.length} parts)`
          : `Move these pins to ${name}.pinout.yaml`,
      kind: 'extract',
      safe: false,
      edits,
      create: { name: `${name}.pinout.yaml`, text: `${[...head, 'pins:', ...lines].join('\n')}\n` },
    },
  ];
}

/** Pins as lines of a block map, with what is remarked between them; undefined where they cannot be moved as they stand. */
function pinLines(pair: Pair, text: string): string[] | undefined {
  const node = pair.value!;
  if (node.kind === 'map') return node.flow ? flowLines(node, text) : blockLines(pair, node, text);
  const names =
    node.kind === 'scalar'
      ? node.text.split(/[\s,]+/).filter((name) => name !== '')
      : node.items.flatMap((item) => (item?.kind === 'scalar' ? [item.text] : []));
  return names.length === 0
    ? undefined
    : names.map((name, index) => `  ${index + 1}: ${scalar(name, { flow: false })}`);
}

/** The lines below the key, moved to a column of two. */
function blockLines(pair: Pair, node: MapNode, text: string): string[] {
  const first = node.pairs[0]!.span.start;
  const column = first - lineStart(text, first);
  const source = text.slice(text.indexOf(':', pair.key.span.end) + 1, lineEnd(text, node.span.end));
  return source.split(/\r\n|\n|\r/).flatMap((line) => {
    const bare = line.trim();
    return bare === '' ? [] : [blanks(Math.max(2, line.search(/\S/) - column + 2)) + bare];
  });
}

/** Each pin on a line of its own; a comment behind one stays behind it, others stand above the next. */
function flowLines(node: MapNode, text: string): string[] {
  const lines: string[] = [];
  let from = node.span.start + 1;
  const gap = (to: number) => {
    for (const [index, line] of text
      .slice(from, to)
      .split(/\r\n|\n|\r/)
      .entries()) {
      const comment = /#.*$/.exec(line)?.[0].trimEnd();
      if (comment === undefined) continue;
      if (index === 0 && lines.length > 0) lines.push(`${lines.pop()}  ${comment}`);
      else lines.push(`  ${comment}`);
    }
  };
  for (const { span } of node.pairs) {
    gap(span.start);
    lines.push(
      `  ${text
        .slice(span.start, span.end)
        .trimEnd()
        .replace(/[\r\n]+[ \t]*/g, (end) => `${breakOf(end)}    `)}`,
    );
    from = span.end;
  }
  gap(node.span.end - 1);
  return lines;
}

/** What a node holds, whatever it is laid out like. */
function plain(node: Node | null): string {
  if (!node) return '~';
  if (node.kind === 'scalar') return JSON.stringify(node.text);
  if (node.kind === 'list') return `[${node.items.map(plain).join()}]`;
  return `{${node.pairs.map((pair) => `${pair.key.text}:${plain(pair.value)}`).join()}}`;
}

/** A file name out of a marking, not yet taken. */
function freeName(from: string, taken: ReadonlySet<string>): string {
  const base =
    from
      .toLowerCase()
      .split(/\s+/)[0]!
      .replace(/[^a-z0-9-]+/g, '') || 'chip';
  for (let number = 1; ; number++) {
    const name = number === 1 ? base : `${base}-${number}`;
    if (!taken.has(name)) return name;
  }
}
