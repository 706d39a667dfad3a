import type { Copper, CopperNode } from '../../board/copper';
import { across, elements, elementsAt } from '../../board/elements';
import { isGround } from '../../board/roles';
import { crystalCapacitors, defaultStray, crystalLoad as loadOf } from '../../circuit/crystal';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';

export const crystalLoad: Check = {
  name: 'crystal-load',
  reads: 'network',
  page: {
    meaning:
      'The two capacitors at a crystal do not give the load it is cut for: it runs, but beside its frequency, or starts badly.',
    causes: 'Capacitors of another value fitted; one of them missing; a chip that brings its own.',
    next: 'Measure the frequency at a buffered clock output, not at the crystal: a probe there is a load of its own.',
    source:
      'CL = C1·C2/(C1 + C2) + stray across the crystal (semiconductor makers’ notes); 20 %: common practice, no source.',
    blind:
      'Needs the crystal’s `load` and two capacitors of known value. `stray` is taken as 3 pF across the crystal where not stated; capacitors inside the chip are not known.',
  },
  run(snapshot) {
    const copper = snapshot.board.at();
    const limit = snapshot.limit('crystal-load') / 100;
    return elements(copper).flatMap(({ part, pins, nodes }): Draft[] => {
      if (part.kind !== 'crystal' || part.load === undefined) return [];
      const [first, second] = nodes.map((node) => toGround(copper, node));
      if (!first || !second) return [];
      const stray = part.stray ?? defaultStray;
      const load = loadOf(first.farads, second.farads, { across: stray });
      const off = load / part.load - 1;
      if (Math.abs(off) <= limit + 1e-9) return [];
      const each = crystalCapacitors(part.load, { across: stray });
      const names = [...first.names, ...second.names];
      return [
        {
          span: part.declared?.span ?? { start: 0, end: 0 },
          message: `${names.join(' and ')} load ${part.designator} with ${formatQuantity(load, 'F')} (stray ${formatQuantity(stray, 'F')}${part.stray === undefined ? ', taken' : ''}): ${Math.abs(off * 100).toFixed(0)} % ${off > 0 ? 'more' : 'less'} than the ${formatQuantity(part.load, 'F')} it is cut for.${each === null ? '' : ` Two of ${formatQuantity(each, 'F')} would suit.`}`,
          at: [...pins.map((pin) => part.point(pin)), ...first.points, ...second.points],
          figures: { load, wanted: part.load, off: off * 100 },
          joins: copper.joins.filter((join) =>
            join.points.some(({ ref }) => ref.part === part.designator || names.includes(ref.part ?? '')),
          ),
        },
      ];
    });
  },
};

/** Farads from a node to ground, where every capacitor there has a value; undefined without any. */
function toGround(copper: Copper, node: CopperNode): { farads: number; names: string[]; points: string[] } | undefined {
  const found = elementsAt(copper, node).filter(
    (element) => element.part.kind === 'capacitor' && isGround(across(element, node).to),
  );
  if (found.length === 0 || found.some((element) => element.part.value === undefined)) return undefined;
  return {
    farads: found.reduce((sum, element) => sum + element.part.value!.value, 0),
    names: found.map((element) => element.part.designator),
    points: found.flatMap((element) => element.pins.map((pin) => element.part.point(pin))),
  };
}
