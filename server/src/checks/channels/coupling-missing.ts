import { joinsAlong, otherLeg, outputs, pathsFrom, pathText } from '../../board/paths';
import { pinText } from '../../board/roles';
import { boardNetwork } from '../../circuit/from-board/build';
import { returnOf } from '../../circuit/from-board/figures';
import { restBetween } from '../../circuit/from-board/rest';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
import { commonOf } from '../ground/common';

/** Volts between contact and return from which DC is meant to be kept out: common practice, no source. */
const dcVolts = 0.1;

export const couplingMissing: Check = {
  name: 'coupling-missing',
  reads: 'network',
  page: {
    meaning:
      'An output that rests at a voltage reaches a contact with nothing in between that holds DC: it lies across whatever is plugged in.',
    causes:
      'A capacitor bridged, left out or not yet listed; a capless output whose common contact is wired to ground.',
    next: 'DC from the contact to the common, nothing plugged in.',
    source:
      'Half the supply at the pins of a single-supply output: makers’ data sheets. It speaks from 0.1 V on: common practice, no source.',
    blind:
      'Where the common contact rests at the same voltage (a driven common) there is no DC to keep out. A balanced contact is judged against its other leg. Where the network leaves the DC open, it says nothing.',
  },
  run({ board }, told) {
    const copper = board.at();
    const net = boardNetwork(copper);
    if (!net) return [];
    const before = told.filter(
      (finding) =>
        finding.check === 'ground-split' ||
        finding.check === 'sleeve-not-ground' ||
        finding.check === 'bridge-as-stereo',
    );
    const drafts = new Map<string, Draft>();
    for (const { pin, node } of outputs(copper)) {
      const bias = pin.spec?.bias ?? restBetween(net, node, net.reference)?.volts;
      if (bias === undefined || Math.abs(bias) < dcVolts || otherLeg(pin) !== undefined) continue;
      for (const path of pathsFrom(copper, pin, node)) {
        if (!path.contact) continue;
        if (path.carries === 'hot' || path.carries === 'cold') continue;
        const connector = path.contact.part;
        if (
          before.some((finding) =>
            finding.at.some((point) => point.startsWith(`${connector.designator}.`) || point === pin.name),
          )
        )
          continue;
        const back = returnOf(net, path);
        const common = commonOf(copper, connector)?.name;
        const rest = back && restBetween(net, path.end, back, [path.contact.name, common ?? back.name]);
        if (!rest || Math.abs(rest.volts) < dcVolts) continue;
        const joins = joinsAlong(copper, path);
        const text = `${pinText(pin)} rests at ${formatQuantity(bias, 'V')} and reaches ${path.contact.name} (${pathText(path)})`;
        const guess = joins.some((join) => join.evidence === 'assumed');
        const key = `${pin.part.designator} ${connector.designator} ${guess}`;
        const old = drafts.get(key);
        drafts.set(
          key,
          old
            ? {
                ...old,
                message: old.message.replace(/ with (no|its)/, `; ${text} with $1`),
                at: [...old.at!, pin.name, path.contact.name],
                joins: [...old.joins!, ...joins],
                basis: [...old.basis!, ...rest.basis],
              }
            : {
                span: joins[joins.length - 1]?.span ?? connector.declared?.keySpan ?? { start: 0, end: 0 },
                message: `${text} ${path.steps.some((step) => step.part.kind === 'capacitor') ? 'with its capacitor bypassed' : 'with no capacitor'}: ${formatQuantity(rest.volts, 'V')} DC lies between the contact and its return.`,
                at: [pin.name, path.contact.name],
                figures: { dc: rest.volts },
                joins,
                basis: rest.basis,
              },
        );
      }
    }
    return [...drafts.values()];
  },
};
