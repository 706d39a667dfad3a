import type { Copper, CopperNode, PinOnNode } from '../../board/copper';
import { isCurrent, isReadingCurrent } from '../../board/currency';
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
      'Needs a DC reading or a DC-coupled, scaled recording. With a driven common, and between the legs of a balanced contact, only a reading between the two counts. The microphone contact of a four-pole jack is left out.',
  },
  run(snapshot, told) {
    const { board } = snapshot;
    const copper = board.at();
    const limit = snapshot.limit('output-dc');
    const before = told.filter((finding) => finding.check === 'coupling-missing').flatMap((finding) => finding.at);
    const drafts = new Map<string, Draft>();
    const tell = (found: Contact, point: string, volts: number, span: Draft['span'], evidence: string) => {
      const contact = found.contact.name;
      if (Math.abs(volts) <= limit || before.includes(contact) || drafts.has(contact)) return;
      drafts.set(contact, {
        span,
        message: `${formatQuantity(volts, 'V')} DC lies between ${contact} and its return, more than ${formatQuantity(limit, 'V')}.`,
        at: [contact],
        evidence: [evidence],
        figures: { dc: volts, limit },
        joins: copper.proof(point, contact)?.joins ?? [],
      });
    };
    for (const reading of board.readings) {
      if (reading.kind !== 'dc' || !Number.isFinite(reading.value) || !isReadingCurrent(board, reading)) continue;
      const [first, second] = reading.points.map((point) => point.ref.name);
      const found = first === undefined ? undefined : contactOf(copper, first);
      if (!found || first === undefined) continue;
      if (second === undefined ? found.grounded : copper.node(second) === found.back)
        tell(found, first, reading.value, reading.span, reading.label);
    }
    for (const capture of board.captures) {
      const state = snapshot.captures.get(capture.name);
      if (state?.is !== 'ready' || capture.coupling !== 'dc') continue;
      for (const channel of capture.channels) {
        const figures = state.figures.channels.find((candidate) => candidate.name === channel.key);
        const [point, minus] = channel.points.map(({ ref }) => ref.name);
        const found = point === undefined ? undefined : contactOf(copper, point);
        if (figures?.unit !== 'V' || !found || !isCurrent(board, channel.points, capture.state)) continue;
        if (minus === undefined ? !found.grounded : copper.node(minus) !== found.back) continue;
        // A short or noisy recording does not fix its mean: only what stands clear of it counts.
        const doubt = 3 * (figures.sd.dc ?? 0);
        if (Math.abs(figures.dc) - doubt > limit)
          tell(found, point!, figures.dc, channel.span, `capture ${capture.name}`);
      }
    }
    return [...drafts.values()];
  },
};

interface Contact {
  readonly contact: PinOnNode;
  /** What its volts are against. */
  readonly back: CopperNode | undefined;
  /** Volts against ground are volts against its return. */
  readonly grounded: boolean;
}

const against: Readonly<Record<string, 'common' | 'hot' | 'cold'>> = {
  left: 'common',
  right: 'common',
  mono: 'common',
  hot: 'cold',
  cold: 'hot',
};

/** The audio contact a point lies on. */
function contactOf(copper: Copper, name: string): Contact | undefined {
  const contact = copper.node(name)?.pins.find((pin) => pin.part.fitted && against[pin.duty ?? ''] !== undefined);
  if (!contact) return undefined;
  const { part } = contact;
  const wanted = against[contact.duty!]!;
  if (wanted === 'common') {
    const back = commonOf(copper, part)?.node;
    return { contact, back, grounded: back !== undefined && isGround(back) };
  }
  const leg = part.contacts.find((one) => part.duty(one) === wanted);
  return { contact, back: leg === undefined ? undefined : copper.nodeOf(part, leg), grounded: false };
}
