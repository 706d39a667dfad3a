import { odds } from '../priors';
import type { Scene } from '../scene';
import type { Hypothesis } from '../types';

/** Leads exchanged, a probe at ×10, a wrong scale: of one capture at a time. */
export function probingHypotheses(scene: Scene): Hypothesis[] {
  const captures = new Map(
    scene.takes.flatMap(({ take }) => (take.capture === undefined ? [] : [[take.capture, take]])),
  );
  return [...captures].flatMap(([capture, take]): Hypothesis[] => {
    const at = [`capture ${capture}`];
    const count = take.channels.length;
    const scales = [0.1, 10].flatMap((factor) => [
      ...(take.gain.name.startsWith('scale of') || take.gain.name === 'what was played'
        ? [{ effect: { probing: [{ capture, factor }] }, text: `its scale is off by ${factor > 1 ? '10' : '1/10'}` }]
        : []),
      ...(count > 1
        ? Array.from({ length: count }, (_, channel) => ({
            effect: { probing: [{ capture, factor, channel }] },
            text: `one probe stands at ×${factor > 1 ? '1, taken as ×10' : '10, taken as ×1'}`,
          }))
        : []),
    ]);
    const wrong: Hypothesis[] = [
      ...(count > 1
        ? [
            {
              variants: [
                { weight: 1, effect: { probing: [{ capture, exchanged: true }] }, text: 'its leads are exchanged' },
              ],
              prior: odds['misprobed-exchanged'],
            },
          ]
        : []),
      ...(scales.length > 0
        ? [{ variants: scales.map((one) => ({ ...one, weight: 1 / scales.length })), prior: odds['misprobed-scale'] }]
        : []),
    ].map((one) => ({ cause: 'misprobed', at, mode: null, ...one }));
    if (wrong.length < 2) return wrong;
    // One answer a capture, whatever was done wrong to it.
    const prior = wrong.reduce((sum, one) => sum + one.prior, 0);
    const variants = wrong.flatMap((one) =>
      one.variants.map((variant) => ({ ...variant, weight: (variant.weight * one.prior) / prior })),
    );
    return [{ cause: 'misprobed', at, mode: null, prior, variants }];
  });
}
