import { expect } from 'vitest';

/** An element of a parsed picture. */
export interface Node {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly inside: Node[];
  text: string;
}

/**
 * Parses the XML of our pictures and fails on anything XML 1.0 does not allow in it: tags that do not match, attributes without quotes
 * or twice, a bare ampersand or angle bracket, signs outside the character range.
 */
export function parse(xml: string): Node {
  expect(xml).not.toMatch(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/u);
  const top: Node = { name: '', attributes: {}, inside: [], text: '' };
  const open = [top];
  let at = 0;
  const tag = /<(\/?)([a-zA-Z][\w-]*)((?:\s+[\w:-]+="[^"<]*")*)\s*(\/?)>/y;
  while (at < xml.length) {
    const next = xml.indexOf('<', at);
    const text = xml.slice(at, next < 0 ? xml.length : next);
    open.at(-1)!.text += unescaped(text);
    if (next < 0) break;
    tag.lastIndex = next;
    const found = tag.exec(xml);
    if (!found) throw new Error(`no tag at ${xml.slice(next, next + 60)}`);
    const [, closes, name, written, empty] = found;
    if (closes) expect(open.pop()!.name).toBe(name);
    else {
      const pairs = [...written!.matchAll(/([\w:-]+)="([^"]*)"/g)].map((one) => [one[1]!, unescaped(one[2]!)] as const);
      expect(new Set(pairs.map(([key]) => key)).size).toBe(pairs.length);
      const node: Node = { name: name!, attributes: Object.fromEntries(pairs), inside: [], text: '' };
      open.at(-1)!.inside.push(node);
      if (!empty) open.push(node);
    }
    at = tag.lastIndex;
  }
  expect(open).toHaveLength(1);
  expect(top.inside).toHaveLength(1);
  return top.inside[0]!;
}

function unescaped(text: string): string {
  expect(text).not.toMatch(/&(?!(amp|lt|gt|quot);)|>/);
  return text.replace(/&(amp|lt|gt|quot);/g, (_, name: string) => ({ amp: '&', lt: '<', gt: '>', quot: '"' })[name]!);
}

/** Every element, the picture itself first. */
export const all = (node: Node): Node[] => [node, ...node.inside.flatMap(all)];

/** The points of a path made of straight lines. */
export const points = (d: string): [number, number][] =>
  [...d.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map((one) => [Number(one[1]), Number(one[2])]);
