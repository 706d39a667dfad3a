import { formatQuantity } from '../../quantity/format';
import { fixed } from '../channels/words';
import type { Check, Draft } from '../check';
import { type Deviation, deviations } from './deviations';

export const levelUnexpected: Check = {
  name: 'level-unexpected',
  reads: 'figures',
  page: {
    meaning:
      'The level measured at a point is not what the network, the chip’s full scale and the stimulus say it should be.',
    causes:
      'A part of another value; a load that is not listed; a volume that is not at full; a wrong full scale of the recorder; another output mode.',
    next: 'Measure at the chip’s own pin with the same stimulus: right there, the fault lies between; wrong there, it lies before, or what follows pulls the pin down: lift that and look again.',
    source: '2 dB: common practice, no source; more than the tolerances of chip (±1 dB) and parts give.',
    blind:
      'Needs a tone of stated level (in dBFS, or of a generator in volts with its `source`), a scaled recording, the chip’s `full-scale` and all values on the way. Where an op-amp or amplifier would run into its supply nothing is predicted. Where both are near but the sides differ, `channels-unequal` speaks; where a side is dead, swapped or opposed, that is told instead.',
  },
  run(snapshot, told) {
    const limit = snapshot.limit('level-unexpected');
    const copper = snapshot.board.at();
    const sharper = told.filter((finding) =>
      [
        'channels-antiphase',
        'channels-identical',
        'channels-swapped',
        'channel-dead',
        'bridge-as-stereo',
        'channel-crossed',
      ].includes(finding.check),
    );
    if (sharper.some((finding) => finding.check !== 'channel-dead')) return [];
    const found: Deviation[] = [];
    for (const one of deviations(snapshot)) {
      if (one.predicted === null || Math.abs(off(one)) <= limit) continue;
      const nodes = sharper.flatMap((finding) => finding.at.map((point) => copper.node(point)));
      if (nodes.includes(copper.node(one.point))) continue;
      found.push(one);
    }
    return byCause(found).map((seen): Draft => {
      const worst = seen.reduce((a, b) => (Math.abs(off(b)) > Math.abs(off(a)) ? b : a));
      const db = off(worst);
      const others = [...new Set(seen.map((one) => one.text))].filter((text) => text !== worst.text);
      return {
        span: worst.span,
        message: `${others.length > 0 ? `${[worst.text, ...others].join(' and ')}: ` : ''}${worst.text} carries ${formatQuantity(worst.measured, 'V')} with ${worst.played}; the network predicts ${formatQuantity(worst.predicted!, 'V')}: ${fixed(Math.abs(db), 1)} dB too ${db > 0 ? 'much' : 'little'}.`,
        at: [...new Set([worst.point, ...seen.map((one) => one.point)])],
        evidence: [...new Set(seen.map((one) => one.label))],
        figures: { measured: worst.measured, predicted: worst.predicted, difference: db },
        basis: worst.basis().filter((fact) => fact.evidence === 'assumed'),
      };
    });
  },
};

/** dB within which two sides that are off together have one cause: a supply, a volume, the recorder's scale. */
const together = 1;

/** One finding a cause: what is off at one point, and at both sides where they are off by the same. */
function byCause(all: readonly Deviation[]): Deviation[][] {
  const points = new Map<string, Deviation[]>();
  for (const one of all) points.set(one.text, [...(points.get(one.text) ?? []), one]);
  const groups: Deviation[][] = [];
  for (const seen of points.values()) {
    const same = groups.find((group) => Math.abs(heard(group[0]!) - heard(seen[0]!)) < together);
    if (same) same.push(...seen);
    else groups.push(seen);
  }
  return groups;
}

/** dB off, as far down as it means anything: below that both carry nothing. */
const heard = (one: Deviation): number => Math.max(off(one), -40);

const off = (one: Deviation): number => 20 * Math.log10(one.measured / one.predicted!);
