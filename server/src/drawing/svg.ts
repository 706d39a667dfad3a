/** The few bricks that pictures are built of: SVG 1.1 as text, without scripts, styles or references to anything outside. */

type Value = string | number | undefined;

/** A number as SVG reads it, to a tenth of a pixel. Only a bug would draw at no place at all. */
function pixels(value: number): string {
  if (!Number.isFinite(value)) throw new Error(`drawn at ${value}`);
  return String(Math.round(value * 10) / 10 + 0);
}

/** Text between tags or quotes. Signs that XML 1.0 does not know (section 2.2) are left out. */
export const escaped = (text: string): string =>
  text
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;');

/** One element; attributes without a value are left out. What stands inside must be markup already. */
export function element(
  name: string,
  attributes: Readonly<Record<string, Value>>,
  ...inside: readonly string[]
): string {
  const written = Object.entries(attributes).flatMap(([key, value]) =>
    value === undefined ? [] : [` ${key}="${typeof value === 'number' ? pixels(value) : escaped(value)}"`],
  );
  const content = inside.join('');
  return content === '' ? `<${name}${written.join('')}/>` : `<${name}${written.join('')}>${content}</${name}>`;
}

/** A line of words at a place. */
export const words = (x: number, y: number, text: string, attributes: Readonly<Record<string, Value>> = {}): string =>
  element('text', { x, y, ...attributes }, escaped(text));

/** The path through points, given as x and y in turn. */
export function polyline(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y], at) => `${at === 0 ? 'M' : 'L'}${pixels(x)} ${pixels(y)}`).join('');
}

/** A whole picture. `title` is what a screen reader says. */
export const picture = (width: number, height: number, title: string, ...inside: readonly string[]): string =>
  element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width,
      height,
      viewBox: `0 0 ${pixels(width)} ${pixels(height)}`,
      role: 'img',
      'font-family': 'sans-serif',
      'font-size': 11,
    },
    element('title', {}, escaped(title)),
    ...inside,
  );
