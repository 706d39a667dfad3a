import { againstGround } from '../../board/against-ground';
import { isReadingCurrent } from '../../board/currency';
import { isSupply, supplyPins } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
import { recorded } from '../recordings';

export const supplyRipple: Check = {
  name: 'supply-ripple',
  reads: 'figures',
  page: {
    meaning: 'A supply is not steady: it carries more ripple than stated, or more than a twentieth of itself.',
    causes:
      'A dried-out reservoir capacitor; a regulator that oscillates or has too little headroom; a load that pulses.',
    next: 'Record the supply, AC-coupled: 100 or 120 Hz is the mains’ rectifier. A switching regulator lies at tens of kilohertz and above, out of reach of most sound cards and of a meter’s AC range: look with a scope and a short ground spring.',
    source: 'The expectation’s `ripple`, else 5 % peak to peak: common practice, no source.',
    blind:
      'Needs an `ac` reading or a scaled recording on the supply; an AC reading counts ×2√2 as peak to peak, as if it were a sine.',
  },
  run(snapshot) {
    const { board } = snapshot;
    const copper = board.at();
    const share = snapshot.limit('supply-ripple') / 100;
    const stated = new Map<string, number>();
    for (const expectation of board.parsed?.value?.expect?.value ?? []) {
      const of = expectation.value?.supply?.value;
      const node = of?.at?.value?.[0] && copper.node(board.point(of.at.value[0].text)?.ref.name ?? '');
      if (node && of?.ripple?.value) stated.set(node.name, of.ripple.value.value);
    }
    const drafts = new Map<string, Draft>();
    const judge = (point: string, text: string, peakToPeak: number, span: Draft['span'], evidence: string) => {
      const node = copper.node(point);
      if (!node || (!isSupply(node) && supplyPins(node).length === 0) || drafts.has(node.name)) return;
      const [read] = board.readings.flatMap((reading) => {
        const seen = reading.kind === 'dc' ? againstGround(reading, copper) : undefined;
        if (!seen || !Number.isFinite(seen.value) || !isReadingCurrent(board, reading)) return [];
        return node.points.includes(seen.point.ref.name) ? [seen] : [];
      });
      const nominal = node.nets.find((net) => net.volts)?.volts;
      const dc = read?.value ?? (nominal && (nominal.min + nominal.max) / 2);
      const allowed = stated.get(node.name) ?? (dc === undefined ? undefined : Math.abs(dc) * share);
      if (allowed === undefined || peakToPeak <= allowed) return;
      drafts.set(node.name, {
        span,
        message: `${text} carries ${formatQuantity(peakToPeak, 'V')} peak to peak of ripple${dc === undefined ? '' : ` on ${formatQuantity(dc, 'V')}`}, more than ${formatQuantity(allowed, 'V')}.`,
        at: [point],
        evidence: [evidence],
        figures: { ripple: peakToPeak, allowed, dc: dc ?? null },
      });
    };
    for (const reading of board.readings) {
      const point = reading.kind === 'ac' ? againstGround(reading, copper)?.point : undefined;
      if (point && Number.isFinite(reading.value) && isReadingCurrent(board, reading))
        judge(point.ref.name, point.text, reading.value * 2 * Math.SQRT2, reading.span, reading.label);
    }
    for (const shown of recorded(snapshot))
      for (const probed of shown.channels) {
        const [point, minus] = probed.channel.points;
        if (!point || minus || !probed.current || probed.figures.unit !== 'V') continue;
        judge(point.ref.name, point.text, probed.figures.max - probed.figures.min, probed.channel.span, shown.label);
      }
    return [...drafts.values()];
  },
};
