import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Trace, TracedChannel } from '../../server/src/drawing/trace';
import { ink, paper, styles, waveform } from '../../server/src/drawing/waveform';
import { all, type Node, parse, points } from './svg';

const channel = (name: string, values: readonly number[], unit: TracedChannel['unit'] = 'V'): TracedChannel => {
  const samples = Float64Array.from(values);
  return { name, unit, low: samples, high: samples };
};
const sampled = (channels: readonly TracedChannel[], step = 1e-4, from = 0): Trace => ({
  from,
  step,
  each: 1,
  timed: true,
  channels,
});
const sine = (count: number, amplitude: number, phase = 0) =>
  Array.from({ length: count }, (_, i) => amplitude * Math.sin((2 * Math.PI * i) / 20 + phase));
const draw = (trace: Trace, labels?: readonly string[]) => all(parse(waveform(trace, 'a <title> & "more"', labels)));

/** Curves and bands: what has as many points as there are columns. */
const drawn = (nodes: readonly Node[], columns: number) =>
  nodes.filter(({ name, attributes }) => name === 'path' && points(attributes.d!).length >= columns);
const texts = (nodes: readonly Node[]) => nodes.filter(({ name }) => name === 'text');

/** Where the ticks of an axis stand, by their labels: pixel against value, on the line through the first and the last of them. */
function scale(nodes: readonly Node[], axis: 'x' | 'y'): (value: number) => number {
  const ticks = texts(nodes)
    .filter(
      ({ attributes, text }) =>
        attributes['text-anchor'] === (axis === 'x' ? 'middle' : 'end') && /^[−\d.]+$/.test(text),
    )
    .map(({ attributes, text }) => [Number(text.replace('−', '-')), Number(attributes[axis]) - (axis === 'y' ? 4 : 0)]);
  const [first, last] = [ticks[0]!, ticks.at(-1)!];
  expect(ticks.length).toBeGreaterThanOrEqual(3);
  return (value) => first[1]! + ((value - first[0]!) / (last[0]! - first[0]!)) * (last[1]! - first[1]!);
}

describe('a few samples', () => {
  const trace = sampled([channel('1', sine(61, 0.2)), channel('2', sine(61, 0.1, Math.PI))]);
  const nodes = draw(trace);

  test('lie where the labels of the axes say they are', () => {
    const [first, second] = drawn(nodes, 61);
    const x = scale(nodes, 'x');
    const y = scale(nodes, 'y');
    for (const [path, at] of [
      [first!, 0],
      [second!, 1],
    ] as const)
      for (const [i, [px, py]] of points(path.attributes.d!).entries()) {
        // Labels count in ms and mV; a tenth of a pixel is where numbers are rounded.
        expect(Math.abs(px - x(i * 0.1))).toBeLessThan(0.2);
        expect(Math.abs(py - y(trace.channels[at]!.low[i]! * 1000))).toBeLessThan(0.2);
      }
  });

  test('both axes name their unit', () => {
    const said = texts(nodes).map(({ text }) => text);
    expect(said).toContain('mV');
    expect(said).toContain('time, ms');
  });

  test('each stands as a dot where they are few, and not where they are many', () => {
    expect(nodes.filter(({ name }) => name === 'circle')).toHaveLength(122);
    const many = draw(sampled([channel('1', sine(200, 1))]));
    expect(many.filter(({ name }) => name === 'circle')).toHaveLength(0);
  });

  test('out of the middle of a recording are told from where they begin', () => {
    const said = texts(draw(sampled([channel('1', sine(61, 0.2))], 1e-4, 0.512))).map(({ text }) => text);
    expect(said).toContain('time, ms, from 512 ms on');
    expect(said).toContain('0');
  });
});

describe('many samples', () => {
  const low = Float64Array.from({ length: 300 }, (_, i) => -0.5 - 0.001 * i);
  const high = Float64Array.from({ length: 300 }, (_, i) => 0.5 + 0.001 * i);
  const band = (name: string): TracedChannel => ({ name, unit: 'FS', low, high });
  const trace: Trace = { from: 0, step: 0.1, each: 4800, timed: true, channels: [band('1'), band('2')] };
  const nodes = draw(trace);

  test('have a lane a channel, from the lowest to the highest of each column', () => {
    const lanes = drawn(nodes, 600);
    expect(lanes).toHaveLength(2);
    const [upper, lower] = lanes.map((lane) => points(lane.attributes.d!));
    expect(Math.max(...upper!.map(([, y]) => y))).toBeLessThan(Math.min(...lower!.map(([, y]) => y)));
    // The same levels in lanes of the same height: they lie apart by the same distance everywhere.
    const apart = lower![0]![1] - upper![0]![1];
    for (const [i, [x, y]] of upper!.entries()) {
      expect(lower![i]![0]).toBe(x);
      expect(Math.abs(lower![i]![1] - y - apart)).toBeLessThan(0.2);
    }
    // What is highest lies opposite what is lowest of the same column.
    expect(upper![0]![0]).toBe(upper!.at(-1)![0]);
    expect(upper![0]![1]).toBeLessThan(upper!.at(-1)![1]);
  });

  test('span 30 s, and are levels of full scale', () => {
    const said = texts(nodes).map(({ text }) => text);
    expect(said).toContain('time, s');
    expect(said).toContain('30');
    expect(said).toContain('full scale');
  });

  test('stay within what a hover can carry: 60 kB of base64', () => {
    const wide: Trace = { ...trace, channels: ['1', '2', '3', '4'].map(band) };
    expect((waveform(wide, 't').length * 4) / 3).toBeLessThan(60_000);
  });
});

test('volts and amperes have a lane and a scale each', () => {
  const nodes = draw(sampled([channel('1', sine(61, 3)), channel('2', sine(61, 0.01), 'A')]));
  const said = texts(nodes).map(({ text }) => text);
  expect(said).toContain('V');
  expect(said).toContain('mA');
});

test('a flat line, and a level far from zero, are drawn in full', () => {
  for (const values of [
    [0, 0, 0],
    [3.3, 3.3, 3.3],
    [3.29, 3.31, 3.3],
    [-5, -5.001, -5],
  ]) {
    const nodes = draw(sampled([channel('1', values)]));
    const ys = points(drawn(nodes, 3).at(-1)!.attributes.d!).map(([, y]) => y);
    for (const y of ys) expect(y).toBeGreaterThan(20);
    for (const y of ys) expect(y).toBeLessThan(160);
    if (new Set(values).size > 1) expect(Math.max(...ys) - Math.min(...ys)).toBeGreaterThan(60);
  }
});

test('colour is never alone: every channel has a line of its own, in the plot as in the legend', () => {
  expect(new Set(styles.map(({ dash }) => dash)).size).toBe(styles.length);
  const nodes = draw(sampled(['1', '2', '3', '4'].map((name, i) => channel(name, sine(61, 1, i)))));
  const paths = nodes.filter(({ name }) => name === 'path');
  for (const { colour, dash } of styles) {
    const own = paths.filter(({ attributes }) => attributes.stroke === colour);
    expect(own).toHaveLength(2);
    for (const path of own) expect(path.attributes['stroke-dasharray']).toBe(dash);
  }
});

test('ink reads on the paper: WCAG 2.1 contrast of 4.5 for words, whatever the theme around it', () => {
  // Relative luminance and contrast as WCAG 2.1 defines them.
  const luminance = (hex: string) =>
    [0.2126, 0.7152, 0.0722].reduce((sum, share, i) => {
      const value = Number.parseInt(hex.slice(1 + 2 * i, 3 + 2 * i), 16) / 255;
      return sum + share * (value <= 0.03928 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4);
    }, 0);
  const contrast = (a: string, b: string) => (luminance(a) + 0.05) / (luminance(b) + 0.05);
  for (const colour of [ink, ...styles.map((style) => style.colour)])
    expect(contrast(paper, colour)).toBeGreaterThan(4.5);
  const nodes = draw(sampled([channel('1', sine(61, 1))]));
  const sheet = nodes.find(({ name }) => name === 'rect')!;
  expect(sheet.attributes.fill).toBe(paper);
  expect(Number(sheet.attributes.width)).toBeGreaterThanOrEqual(Number(nodes[0]!.attributes.width) - 1);
});

test('nothing in it runs or is fetched, whatever the board says', () => {
  const evil = '<script>alert(1)</script>" onload="x" \u0000\u0007 ]]> &amp; 電源';
  const svg = waveform(sampled([channel('1', sine(61, 1))]), evil, [evil]);
  const names = new Set(all(parse(svg)).map(({ name }) => name));
  expect([...names].sort()).toEqual(['circle', 'line', 'path', 'rect', 'svg', 'text', 'title']);
  for (const { attributes } of all(parse(svg)))
    for (const key of Object.keys(attributes)) expect(key).not.toMatch(/^on|href|style/i);
});

test('any finite samples make a picture that is well formed, without a number that is none', () => {
  const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  const unit = fc.constantFrom('V' as const, 'FS' as const, 'A' as const);
  fc.assert(
    fc.property(
      fc.array(fc.record({ values: fc.array(value, { minLength: 3, maxLength: 3 }), unit }), {
        minLength: 1,
        maxLength: 4,
      }),
      fc.double({ min: 1e-9, max: 1e4, noNaN: true }),
      fc.boolean(),
      (channels, step, timed) => {
        const traced = channels.map((one, i) => channel(String(i), one.values, one.unit));
        const svg = waveform({ from: 0, step, each: 1, timed, channels: traced }, 't');
        parse(svg);
        expect(svg).not.toMatch(/NaN|Infinity|undefined/);
      },
    ),
    { numRuns: 60, seed: 8 },
  );
});
