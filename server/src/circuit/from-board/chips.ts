import type { Copper, CopperNode, PinOnNode } from '../../board/copper';
import type { Part } from '../../board/part';
import type { Section, Weights } from '../../board/pinout';
import { roleOf } from '../../board/roles';
import type { Basis } from '../../quantity/figure';
import { formatQuantity } from '../../quantity/format';
import type { Element } from '../netlist';
import type { Made } from './parts';
import { pointOn } from './reference';

/** A chip's output as a source of the network: what it carries of each programme in the mode it runs in. */
export interface OutputSource {
  readonly name: string;
  readonly pin: PinOnNode;
  readonly node: CopperNode;
  /** V RMS of a 0 dBFS sine; undefined where the data sheet's figure is not stated. */
  readonly fullScale: number | undefined;
  /** Weights of the left and right programme; undefined where neither a mode nor a channel says. */
  readonly weights: Weights | undefined;
}

/** The output of a section in the network: an op-amp's, an amplifier's, a leg of a bridge. */
export interface Stage {
  /** The element that drives it. */
  readonly element: string;
  readonly part: Part;
  /** Its point: "U3.1". */
  readonly point: string;
  readonly node: string;
}

/** Sources, inputs and sections of every chip of a state. */
export function chips(
  copper: Copper,
  reference: CopperNode,
): { readonly made: Made[]; readonly outputs: OutputSource[]; readonly stages: Stage[] } {
  const made: Made[] = [];
  const outputs: OutputSource[] = [];
  const stages: Stage[] = [];
  const bySection = new Set<string>();
  for (const part of copper.parts.values())
    if (part.fitted)
      for (const section of part.pinout?.sections ?? []) {
        for (const out of section.out) bySection.add(part.point(out));
        const own = sectionElements(copper, part, section, reference);
        made.push(...own);
        stages.push(...stagesOf(copper, part, section, own));
      }
  for (const node of copper.nodes)
    for (const pin of node.pins) {
      if (!pin.part.fitted || !pin.spec || bySection.has(pin.name)) continue;
      const role = roleOf(pin, node);
      const ground = groundOf(copper, pin.part, reference);
      if (node.name === ground.node) continue;
      if (role === 'audio-out') {
        const { bias, impedance } = pin.spec;
        const basis: Basis[] = [
          {
            what: `${pin.name} ${impedance === undefined ? 'impedance not stated, taken as 0 Ω' : formatQuantity(impedance, 'Ω')}`,
            evidence: 'stated',
          },
        ];
        const element: Element = {
          kind: 'voltage',
          name: pin.name,
          a: node.name,
          b: ground.node,
          dc: bias ?? 0,
          ohms: impedance ?? 0,
        };
        made.push({ element, basis, points: [pin.name, ground.point] });
        outputs.push({ name: pin.name, pin, node, fullScale: pin.spec.fullScale, weights: weightsOf(pin) });
      } else if (role === 'audio-in' && pin.spec.impedance !== undefined) {
        made.push({
          element: { kind: 'load', name: `input ${pin.name}`, a: node.name, b: ground.node, ohms: pin.spec.impedance },
          basis: [{ what: `${pin.name} ${formatQuantity(pin.spec.impedance, 'Ω')}`, evidence: 'stated' }],
          points: [pin.name, ground.point],
        });
      }
    }
  return { made, outputs, stages };
}

/** A ground by its node and the point that ties to it. */
export interface Ground {
  readonly node: string;
  readonly point: string;
}

/** What a chip's voltages are made against: its first ground pin in copper, else the reference. */
export function groundOf(copper: Copper, part: Part, reference: CopperNode): Ground {
  for (const spec of part.pinout?.pins.values() ?? []) {
    if (spec.role !== 'ground') continue;
    const node = copper.nodeOf(part, spec.key);
    const pin = node?.pins.find((candidate) => candidate.name === part.point(spec.key));
    if (node && pin && roleOf(pin, node) === 'ground') return { node: node.name, point: pin.name };
  }
  return { node: reference.name, point: pointOn(reference) };
}

/** What an output carries: by the mode stated, else the first listed, else its channel. */
export function weightsOf(pin: PinOnNode, mode: string | undefined = pin.part.modeName): Weights | undefined {
  const weights = mode === undefined ? undefined : pin.part.pinout?.modes.get(mode)?.get(pin.pin);
  if (weights) return weights;
  const channel = pin.spec?.channel;
  if (channel === 'left') return { left: 1, right: 0 };
  if (channel === 'right') return { left: 0, right: 1 };
  return channel === 'mono' ? { left: 0.5, right: 0.5 } : undefined;
}

function stagesOf(copper: Copper, part: Part, section: Section, made: readonly Made[]): Stage[] {
  return section.out.flatMap((pin) => {
    const point = part.point(pin);
    const driver = made.find(
      ({ element, points }) => (element.kind === 'op-amp' || element.kind === 'vcvs') && points.includes(point),
    );
    const node = copper.node(point)?.name;
    return driver && node !== undefined ? [{ element: driver.element.name, part, point, node }] : [];
  });
}

function sectionElements(copper: Copper, part: Part, section: Section, reference: CopperNode): Made[] {
  const node = (pin: string | undefined) => (pin === undefined ? undefined : copper.nodeOf(part, pin)?.name);
  const { node: ground, point: groundPoint } = groundOf(copper, part, reference);
  const basis: Basis[] = [{ what: `${part.designator} section ${section.name}`, evidence: 'stated' }];
  const name = `${part.designator} ${section.name}`;
  const ties = (...pins: (string | undefined)[]) => [
    ...pins.flatMap((pin) => (node(pin) === undefined ? [] : [part.point(pin!)])),
    groundPoint,
  ];
  if (section.kind === 'regulator') {
    const out = node(section.out[0]);
    if (out === undefined || section.volts === undefined || out === ground) return [];
    const element: Element = { kind: 'voltage', name, a: out, b: ground, dc: section.volts, ohms: stiff };
    return [{ element, basis, points: ties(section.out[0]) }];
  }
  const plus = node(section.plus) ?? (section.kind === 'amplifier' && section.minus !== undefined ? ground : undefined);
  const minus = node(section.minus) ?? ground;
  const outs = section.out.flatMap((pin) => {
    const at = node(pin);
    return at === undefined ? [] : [{ pin, at }];
  });
  if (plus === undefined || outs.length === 0) return [];
  if (section.gain === undefined) {
    // An op-amp is ideal with its feedback; an amplifier without a gain is unknown.
    if (section.kind !== 'op-amp' || section.minus === undefined || node(section.minus) === undefined) return [];
    const element: Element = { kind: 'op-amp', name, plus, minus, out: outs[0]!.at };
    return [{ element, basis, points: ties(section.plus, section.minus, outs[0]!.pin) }];
  }
  const gain = 10 ** (section.gain / 20);
  const bridge = section.out.length === 2;
  return outs.flatMap(({ pin, at }): Made[] => {
    const spec = part.spec(pin);
    const sign = bridge && section.out.indexOf(pin) === 1 ? -1 : 1;
    const each = bridge ? gain / 2 : gain;
    const own = outs.length > 1 ? `${name} ${pin}` : name;
    const bias = spec?.bias ?? 0;
    const points = ties(section.plus, section.minus, pin);
    const inner = bias === 0 ? at : `${own} inside`;
    const amplifier: Element = {
      kind: 'vcvs',
      name: own,
      a: inner,
      b: ground,
      plus,
      minus,
      gain: sign * each,
      ohms: spec?.impedance ?? 0,
    };
    return bias === 0
      ? [{ element: amplifier, basis, points }]
      : [
          { element: amplifier, basis, points },
          { element: { kind: 'voltage', name: `${own} bias`, a: at, b: inner, dc: bias }, basis, points },
        ];
  });
}

/** Ω behind a supply that holds its voltage: enough that two of them side by side are no contradiction. */
export const stiff = 1e-3;
