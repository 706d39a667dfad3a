import { isCurrent } from '../../board/currency';
import { isGround } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
import { commonOf } from '../ground/common';

export const outputDc: Check = {
  name: 'output-dc',
  reads: 'figures',
  page: {
    meaning:
      'DC lies between an audio contact and its return: it shifts a loudspeaker’s cone, warms headphones and clicks when plugged in.',
    causes: 'A leaking or reversed coupling capacitor; a missing bleeder; an output stage that has failed.',
    next: 'Take the plug out and measure again; then on the chip’s side of the capacitor.',
    source: '50 mV: common practice, no source.',
    blind:
      'Needs a DC reading or a DC-coupled, scaled recording. With a driven common only a reading between contact and common counts. The microphone contact of a four-pole jack is left out. The legs of a bridge may both rest at a voltage.',
  },
  run(snapshot, told) {
    const { board } = snapshot;
    const copper = board.at();
    const limit = snapshot.limit('output-dc');
    const before = told.filter((finding) => finding.check === 'coupling-missing').flatMap((finding) => finding.at);
    const drafts = new Map<string, Draft>();
    const audio = new Set(['left', 'right', 'mono']);
    /** The contact a point stands for, and whether volts against ground are volts against its return. */
    const contactOf = (name: string) => {
      const node = copper.node(name);
      const contact = node?.pins.find((pin) => pin.part.fitted && audio.has(pin.duty ?? ''));
      if (!node || !contact) return undefined;
      const common = commonOf(copper, contact.part);
      return { contact, common, grounded: common !== undefined && isGround(common.node), node };
    };
    const tell = (contact: string, volts: number, span: Draft['span'], evidence: string) => {
      if (Math.abs(volts) <= limit || before.includes(contact) || drafts.has(contact)) return;
      drafts.set(contact, {
        span,
        message: `${formatQuantity(volts, 'V')} DC lies between ${contact} and its return, more than ${formatQuantity(limit, 'V')}.`,
        at: [contact],
        evidence: [evidence],
        figures: { dc: volts, limit },
      });
    };
    for (const reading of board.readings) {
      if (reading.kind !== 'dc' || !Number.isFinite(reading.value) || !isCurrent(board, reading.points, reading.state))
        continue;
      const [first, second] = reading.points;
      const found = first && contactOf(first.ref.name);
      if (!found) continue;
      if (second ? copper.node(second.ref.name) === found.common?.node : found.grounded)
        tell(found.contact.name, reading.value, reading.span, reading.label);
    }
    for (const capture of board.captures) {
      const state = snapshot.captures.get(capture.name);
      if (state?.is !== 'ready' || capture.coupling !== 'dc') continue;
      for (const channel of capture.channels) {
        const figures = state.figures.channels.find((candidate) => candidate.name === channel.key);
        const found = channel.points.length === 1 ? contactOf(channel.points[0]!.ref.name) : undefined;
        if (figures?.unit !== 'V' || !found?.grounded || !isCurrent(board, channel.points, capture.state)) continue;
        // A short or noisy recording does not fix its mean: only what stands clear of it counts.
        const doubt = 3 * (figures.sd.dc ?? 0);
        if (Math.abs(figures.dc) - doubt > limit)
          tell(found.contact.name, figures.dc, channel.span, `capture ${capture.name}`);
      }
    }
    return [...drafts.values()];
  },
};
