import { floors, odds } from '../priors';
import type { Scene } from '../scene';
import type { Take } from '../takes';
import type { Hypothesis, Variant } from '../types';

/** Leads exchanged, a probe at ×10, a wrong scale: of one capture at a time; and a loudness that is not what is written, of all. */
export function probingHypotheses(scene: Scene): Hypothesis[] {
  // Of what a recording gives, the first take is the whole of it.
  const captures = new Map<string, Take>();
  for (const { take } of scene.takes)
    if (take.capture !== undefined && !captures.has(take.capture)) captures.set(take.capture, take);
  const scaled = [...captures].filter(([, take]) => hasScale(take)).map(([capture]) => capture);
  const single = [...captures].flatMap(([capture, take]) =>
    ofOne(capture, take, scaled.length === 1 && scaled[0] === capture),
  );
  return captures.size > 1 ? [...single, ...ofAll([...captures.keys()], scaled)] : single;
}

/** Whether volts and loudness are both written, so that one of them may be wrong. */
const hasScale = (take: Take): boolean => take.gain.sd === floors.scale;

/** dB that a loudness may be off by, up or down, each standing for its surroundings: beyond what the chip itself may be off by. */
const steps = Array.from({ length: 25 }, (_, k) => 2 + k).flatMap((db) => [-db, db]);
/** ln of half a step. */
const stepSpread = 0.06;

const decibels = (db: number): string =>
  `everything is about ${Math.abs(db)} dB ${db < 0 ? 'lower' : 'higher'} than written; the volume at the source, or the recorder’s scale, is another`;

function loudness(captures: readonly string[]): Variant[] {
  return steps.map((db) => ({
    weight: 1 / steps.length,
    effect: {
      probing: captures.map((capture) => ({
        capture,
        factor: 10 ** (db / 20),
        spread: stepSpread,
        shared: 'what was played',
      })),
    },
    text: decibels(db),
  }));
}

const unheard = (captures: readonly string[]): Variant => ({
  weight: 1,
  effect: { probing: captures.map((capture) => ({ capture, factor: 0 })) },
  text: 'nothing is heard at all; nothing was played, or the recorder listened elsewhere',
});

/** The volume at the source, or one scale all recordings were taken with; or nothing heard in any. */
function ofAll(captures: readonly string[], scaled: readonly string[]): Hypothesis[] {
  const cause = 'misprobed';
  const at = (names: readonly string[]) => names.map((capture) => `capture ${capture}`);
  const silent = odds['misprobed-silent'];
  const loud = odds['misprobed-loudness'];
  if (scaled.length < 2) return [{ cause, at: at(captures), mode: null, prior: silent, variants: [unheard(captures)] }];
  const prior = silent + loud;
  return [
    {
      cause,
      at: at(captures),
      mode: null,
      prior,
      variants: [
        { ...unheard(captures), weight: silent / prior },
        ...loudness(scaled).map((one) => ({ ...one, weight: (one.weight * loud) / prior })),
      ],
    },
  ];
}

const tenfold = (factor: number): string =>
  `everything is ${factor > 1 ? 'ten times' : 'a tenth of'} what is written; a ×10 forgotten, the scale, or the volume at the source`;

/** What may have been done wrong to one capture: one answer, whatever it was. */
function ofOne(capture: string, take: Take, alone: boolean): Hypothesis[] {
  const count = take.channels.length;
  const known = take.gain.name.startsWith('scale of') || take.gain.name === 'what was played';
  const scales = [0.1, 10].flatMap((factor) => [
    ...(known ? [{ effect: { probing: [{ capture, factor }] }, text: tenfold(factor) }] : []),
    ...(count > 1
      ? Array.from({ length: count }, (_, channel) => ({
          effect: { probing: [{ capture, factor, channel }] },
          text: `one probe stands at ×${factor > 1 ? '1, taken as ×10' : '10, taken as ×1'}`,
        }))
      : []),
  ]);
  const exchanged = { effect: { probing: [{ capture, exchanged: true }] }, text: 'its leads are exchanged' };
  const forms: { prior: number; variants: Variant[] }[] = [
    ...(count > 1 ? [{ prior: odds['misprobed-exchanged'], variants: [{ weight: 1, ...exchanged }] }] : []),
    ...(scales.length > 0
      ? [{ prior: odds['misprobed-scale'], variants: scales.map((one) => ({ ...one, weight: 1 / scales.length })) }]
      : []),
    { prior: odds['misprobed-silent'] * (alone ? 1 : 0.3), variants: [unheard([capture])] },
    ...(hasScale(take)
      ? [
          {
            prior: alone ? odds['misprobed-loudness'] : odds['misprobed-scale'],
            variants: loudness([capture]),
          },
        ]
      : []),
  ];
  const prior = forms.reduce((sum, one) => sum + one.prior, 0);
  const variants = forms.flatMap((one) =>
    one.variants.map((variant) => ({ ...variant, weight: (variant.weight * one.prior) / prior })),
  );
  return [{ cause: 'misprobed', at: [`capture ${capture}`], mode: null, prior, variants }];
}
