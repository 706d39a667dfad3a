import { fixed } from '../channels/words';
import type { Check, Draft } from '../check';
import { recorded } from '../recordings';
import { againstTone, referenceOf } from './against-tone';

export const humPresent: Check = {
  name: 'hum-present',
  reads: 'figures',
  page: {
    meaning:
      'The mains is in the sound: its frequency and harmonics, or the ripple of a rectifier at twice its frequency.',
    causes:
      'A ground loop through the recorder; a screen that is not joined; a dried-out reservoir capacitor; a lamp’s transformer nearby.',
    next: 'Run the recorder from its own battery: hum that goes was a loop through it. Hum that goes only with the gadget on a cell came by its supply: 100 or 120 Hz that grows with the load is ripple. Hum that stays is picked up.',
    source:
      'Named only as a comb of three or more lines; −60 dB against the tone, or full scale: common practice, no source.',
    blind:
      'Judged under a tone or silence only: programme has lines of its own. 100 Hz is also a cordless telephone’s frame; the figures say where two sources collide.',
  },
  run: (snapshot) => {
    const limit = snapshot.limit('hum-present');
    return recorded(snapshot).flatMap((shown): Draft[] => {
      const kind = shown.stimulus?.kind;
      if (kind !== 'tone' && kind !== 'silence') return [];
      const loud = shown.channels.flatMap((probed) => {
        if (probed.figures.hum === null) return [];
        const hum = againstTone(shown, probed, probed.figures.hum);
        return hum > limit ? [{ probed, hum }] : [];
      });
      const [worst] = [...loud].sort((a, b) => b.hum - a.hum);
      if (!worst) return [];
      const comb = worst.probed.figures.combs.find(
        (one) =>
          Math.abs(one.fundamental / 50 - Math.round(one.fundamental / 50)) < 0.02 ||
          Math.abs(one.fundamental / 60 - Math.round(one.fundamental / 60)) < 0.02,
      );
      const where = loud.map(({ probed }) => probed.channel.points[0]!.text).join(' and ');
      const lines = comb
        ? ` (${fixed(comb.fundamental, 2)} Hz and ${comb.lines.length} of its multiples${comb.ambiguous ? `: ${comb.names.join(' or ')}` : ''})`
        : '';
      return [
        {
          span: shown.capture.keySpan,
          message: `${where} ${loud.length > 1 ? 'carry' : 'carries'} hum${lines}: ${fixed(worst.hum, 1)} dB against ${referenceOf(shown, worst.probed)}, in ${shown.label}.`,
          at: loud.map(({ probed }) => probed.channel.points[0]!.ref.name),
          evidence: [shown.label],
          figures: { hum: worst.hum, fundamental: comb?.fundamental ?? null },
        },
      ];
    });
  },
};
