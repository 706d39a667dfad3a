import { fixed } from '../channels/words';
import type { Check, Draft } from '../check';
import { recorded } from '../recordings';
import { againstTone, referenceOf } from './against-tone';

export const spurPresent: Check = {
  name: 'spur-present',
  reads: 'figures',
  page: {
    meaning: 'A single line stands out of the noise that nobody played.',
    causes:
      'A switching regulator at light load; a clock or a bus that couples in; an alias of a carrier; the recorder’s own whistle.',
    next: 'See whether it moves with the supply voltage, the load, or the recorder’s sampling rate.',
    source: '−60 dB against the tone, or full scale: common practice, no source.',
    blind:
      'Judged under a tone or silence only. Harmonics of the tone are distortion; lines that form a comb are named as one.',
  },
  run: (snapshot, told) => {
    const limit = snapshot.limit('spur-present');
    return recorded(snapshot).flatMap((shown): Draft[] => {
      const kind = shown.stimulus?.kind;
      if (kind !== 'tone' && kind !== 'silence') return [];
      // A signal cut flat makes lines of its own, folded ones among them: that is told already.
      if (
        told.some(({ check, evidence }) => /-clipped$|^capture-too-slow$/.test(check) && evidence.includes(shown.label))
      )
        return [];
      const found = shown.channels.flatMap((probed) => {
        const tone = probed.figures.tone?.frequency;
        const lines = probed.figures.spurs.filter((line) => tone === undefined || !isHarmonic(line.frequency, tone));
        const spur = lines.reduce<(typeof probed.figures.spurs)[number] | undefined>(
          (a, b) => (a && a.level >= b.level ? a : b),
          undefined,
        );
        const level = spur && againstTone(shown, probed, spur.level);
        return spur && level !== undefined && level > limit ? [{ probed, spur, level }] : [];
      });
      const [first] = [...found].sort((a, b) => b.level - a.level);
      if (!first) return [];
      const where = found.map(({ probed }) => probed.channel.points[0]!.text).join(' and ');
      return [
        {
          span: shown.capture.keySpan,
          message: `${where} ${found.length > 1 ? 'carry' : 'carries'} a line at ${fixed(first.spur.frequency, 1)} Hz, ${fixed(first.level, 1)} dB against ${referenceOf(shown, first.probed)}, that nobody played, in ${shown.label}.${first.spur.hint ? ` ${first.spur.hint}` : ''}`,
          at: found.map(({ probed }) => probed.channel.points[0]!.ref.name),
          evidence: [shown.label],
          figures: { frequency: first.spur.frequency, level: first.level },
        },
      ];
    });
  },
};

/** Harmonics beyond those the distortion counts are distortion still. */
const isHarmonic = (frequency: number, tone: number): boolean =>
  frequency > 1.5 * tone && Math.abs(frequency - Math.round(frequency / tone) * tone) < 3;
