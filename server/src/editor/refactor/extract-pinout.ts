import type { Node, Pair } from '../../dialect/node';
import type { Edit } from '../../text/finding';
import type { Span } from '../../text/span';
import type { Action } from '../actions';
import type { BoardAnalysis } from '../analysis';
import { scalar } from '../complete/item';
import { partNamed } from '../names';
import { asMap, blanks, lineStart, pairOf, touched } from './nodes';

/** The inline pins of a chip become a pinout file of their own, and every part of the board with the same pins goes by it. */
export function extractPinout({ parsed, board, text, uri }: BoardAnalysis, selection: Span): Action[] {
  const parts = asMap(pairOf(parsed.tree.root, 'parts')?.value);
  const entry = touched(parts, selection);
  const pins = pairOf(entry?.value, 'pins');
  const part = entry && partNamed(board, entry.key.text);
  if (!parts || !entry || !pins?.value || !part?.pinout?.inline || pins.value.repeat) return [];
  const lines = pinLines(pins.value, text);
  if (lines === undefined) return [];
  const name = freeName(part.marking ?? entry.key.text, new Set(board.pinouts.keys()));
  const shape = plain(pins.value);
  const same = parts.pairs.flatMap((one): Pair[] => {
    const own = pairOf(one.value, 'pins');
    return own?.value && plain(own.value) === shape ? [own] : [];
  });
  const edits = same.map((one): Edit => ({ file: uri, span: one.span, text: `pinout: ${name}` }));
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
      kind: 'refactor',
      safe: false,
      edits,
      create: { name: `${name}.pinout.yaml`, text: `${[...head, 'pins:', ...lines].join('\n')}\n` },
    },
  ];
}

/** Pins as lines of a block map; undefined where they cannot be moved as they stand. */
function pinLines(node: Node, text: string): string[] | undefined {
  if (node.kind === 'map')
    return node.pairs.map(({ span }) => {
      const column = span.start - lineStart(text, span.start);
      const source = text.slice(span.start, span.end).trimEnd();
      return `  ${source.replace(/(\r\n|\n|\r)([ \t]*)/g, (_, end, indent) => end + blanks(Math.max(4, indent.length - column + 2)))}`;
    });
  const names =
    node.kind === 'scalar'
      ? node.text.split(/[\s,]+/).filter((name) => name !== '')
      : node.items.flatMap((item) => (item?.kind === 'scalar' ? [item.text] : []));
  return names.length === 0
    ? undefined
    : names.map((name, index) => `  ${index + 1}: ${scalar(name, { flow: false })}`);
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
