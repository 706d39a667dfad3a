import { isReadingCurrent } from '../../board/currency';
import { formatQuantity } from '../../quantity/format';
import { fixed } from '../channels/words';
import type { Check, Draft } from '../check';

export const clockOffFrequency: Check = {
  name: 'clock-off-frequency',
  reads: 'copper',
  page: {
    meaning: 'A clock runs beside the frequency its crystal or its pin is meant for.',
    causes:
      'A crystal of another frequency; load capacitors that do not suit it; a probe that loads the oscillator; a meter whose own clock is off.',
    next: 'Measure at a buffered output instead of at the crystal; hold the meter against a clock you trust.',
    source: 'The crystal’s `tolerance`; else 200 ppm: common practice, no source.',
    blind:
      'Needs a `frequency` reading at the crystal or at a pin with a stated frequency. A probe of 10 pF at a crystal moves it by itself.',
  },
  run(snapshot) {
    const { board } = snapshot;
    const copper = board.at();
    const limit = snapshot.limit('clock-off-frequency') * 1e-6;
    return board.readings.flatMap((reading): Draft[] => {
      const point = reading.points[0];
      if (
        reading.kind !== 'frequency' ||
        !point ||
        !Number.isFinite(reading.value) ||
        !isReadingCurrent(board, reading)
      )
        return [];
      const node = copper.node(point.ref.name);
      if (!node) return [];
      const crystal = node.pins.find((pin) => pin.part.fitted && pin.part.kind === 'crystal' && pin.part.value);
      const own = node.pins.find((pin) => pin.name === point.ref.name && pin.spec?.frequency !== undefined);
      const clocked = own ?? node.pins.find((pin) => pin.spec?.frequency !== undefined);
      const nominal = crystal?.part.value?.value ?? clocked?.spec?.frequency;
      if (nominal === undefined || nominal === 0) return [];
      const allowed = crystal?.part.tolerance ?? limit;
      const off = reading.value / nominal - 1;
      if (Math.abs(off) <= allowed * (1 + 1e-9)) return [];
      return [
        {
          span: reading.span,
          message: `${point.text} runs at ${formatQuantity(reading.value, 'Hz', 7)}, ${fixed(off * 1e6, 0)} ppm off ${crystal ? crystal.part.designator : clocked!.name} (${formatQuantity(nominal, 'Hz', 7)}); ${(allowed * 1e6).toFixed(0)} ppm are allowed.`,
          at: [point.ref.name, crystal ? crystal.name : clocked!.name],
          evidence: [reading.label],
          figures: { frequency: reading.value, nominal, ppm: off * 1e6 },
          joins: copper.proof(point.ref.name, crystal ? crystal.name : clocked!.name)?.joins ?? [],
        },
      ];
    });
  },
};
