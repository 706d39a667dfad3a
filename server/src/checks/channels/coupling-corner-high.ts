import { channelOf, joinsAlong, outputs, pathsFrom, pathText } from '../../board/paths';
import { boardNetwork } from '../../circuit/from-board/build';
import { pathFigures } from '../../circuit/from-board/figures';
import { assumptions } from '../../quantity/figure';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';

export const couplingCornerHigh: Check = {
  name: 'coupling-corner-high',
  reads: 'network',
  page: {
    meaning: 'Into the stated load the bass is gone: the coupling capacitor is too small for what is plugged in.',
    causes: 'A capacitor a decade too small; a line output used for headphones; a capacitor that has dried out.',
    next: 'With the load plugged in, play a low tone (31 or 61 Hz, beside the mains and its harmonics) and compare its level with 997 Hz at the jack; or measure the capacitor out of circuit.',
    source:
      'fc = 1/(2πRC) over all resistance in the loop, found on the whole network; 30 Hz: common practice, no source.',
    blind: 'Needs a stated load and the values on the way. What the capacitor has become with age is not known.',
  },
  run(snapshot, told) {
    const copper = snapshot.board.at();
    const net = boardNetwork(copper);
    if (!net) return [];
    // A return that is only joined by a capacitor makes any corner high: that is told as the split it is.
    if (told.some((finding) => finding.check === 'ground-split')) return [];
    const limit = snapshot.limit('coupling-corner-high');
    const drafts = new Map<string, Draft>();
    for (const { pin, node } of outputs(copper))
      for (const path of pathsFrom(copper, pin, node)) {
        const load = path.contact?.part.load ?? path.end.nets.find((candidate) => candidate.load !== undefined)?.load;
        // The way to the other side's contact is crosstalk, and not where this output is meant to go.
        const own = channelOf(pin);
        if (own && (path.carries === 'left' || path.carries === 'right') && path.carries !== own) continue;
        const capacitor = path.steps.find((step) => step.part.kind === 'capacitor');
        if (load === undefined || !capacitor) continue;
        const corner = pathFigures(net, path)?.corner;
        if (!corner || !('figure' in corner) || corner.figure.value <= limit) continue;
        const hertz = formatQuantity(corner.figure.value, 'Hz');
        const guess = assumptions(corner.figure.basis).length > 0;
        const key = `${pin.part.designator} ${path.contact?.part.designator ?? path.end.name} ${guess}`;
        const end = path.contact?.name ?? path.end.name;
        const before = drafts.get(key);
        drafts.set(
          key,
          before
            ? {
                ...before,
                message: `${before.message.slice(0, -1)}; on the way to ${end} ${hertz} (${capacitor.part.designator}).`,
                at: [...before.at!, end],
                joins: [...before.joins!, ...joinsAlong(copper, path)],
              }
            : {
                span: capacitor.part.declared?.span ?? pin.part.declared?.keySpan ?? { start: 0, end: 0 },
                message: `The −3 dB corner on the way ${pathText(path)} is ${hertz} into ${formatQuantity(load, 'Ω')}, above ${formatQuantity(limit, 'Hz')}: ${capacitor.part.designator} is too small for this load.`,
                at: [...capacitor.pins.map((pin) => capacitor.part.point(pin)), end],
                figures: { corner: corner.figure.value, load },
                joins: joinsAlong(copper, path),
                basis: corner.figure.basis,
              },
        );
      }
    return [...drafts.values()];
  },
};
