import { across, elementsAt } from '../../board/elements';
import { isGround, pinText, supplyPins } from '../../board/roles';
import type { Check, Draft } from '../check';

export const decouplingMissing: Check = {
  name: 'decoupling-missing',
  reads: 'copper',
  page: {
    meaning:
      'No capacitor lies from a supply pin’s net to its ground: the part has to draw its current pulses through the whole board.',
    causes:
      'A capacitor not yet listed, fallen off or never fitted; one that sits behind a ferrite and so on another net.',
    next: 'Look close to the pin for a small capacitor; ripple at the pin with a short ground spring.',
    source:
      'A decoupling capacitor on every pair of power supply pins, 100 nF ceramic: controller makers’ hardware guidelines.',
    blind:
      'Needs `complete`. Pins on one net share decoupling; how far the capacitor is from the pin is not judged. Supply outputs are never asked.',
  },
  run({ board }, told) {
    const copper = board.at();
    return copper.nodes.flatMap((node): Draft[] => {
      const pins = supplyPins(node);
      if (pins.length === 0 || !node.complete || isGround(node)) return [];
      if (
        told.some((finding) => silencing.has(finding.check) && finding.at.some((point) => node.points.includes(point)))
      )
        return [];
      const decoupled = elementsAt(copper, node).some(
        (element) =>
          element.part.kind === 'capacitor' && across(element, node).to !== node && isGround(across(element, node).to),
      );
      if (decoupled) return [];
      const join = copper.joins.find((candidate) => candidate.points.some((point) => point.ref.name === pins[0]!.name));
      return [
        {
          span: join?.span ?? pins[0]!.part.declared?.keySpan ?? { start: 0, end: 0 },
          message: `No capacitor lies from ${node.name} to ground, beside ${pins.map(pinText).join(', ')}: everything on it is listed.`,
          at: [...pins.map((pin) => pin.name)],
          evidence: [`all of ${node.name} is listed`],
        },
      ];
    });
  },
};

const silencing = new Set(['supply-short', 'ground-miswired', 'supply-unfed', 'diode-reversed']);
