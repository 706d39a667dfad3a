import { aboutRecording } from './capture-warnings';

/** Stimuli of which something is claimed over frequency or time. */
const timed = new Set(['tone', 'noise', 'sweep', 'all-in-one']);

export const captureUneven = aboutRecording(
  'capture-uneven',
  ['uneven', 'gaps', 'no-rate'],
  {
    meaning:
      'The samples are not evenly spaced in time, or nothing says how. Where times rise, a tone is fitted at the times as written, with its level, phase and distortion; spectra, noise, coherence and delay are not given.',
    causes: 'A scope export of several screens one after the other; rows left out; time written with too few digits.',
    next: 'Export again with full time resolution, or as WAV.',
    source: 'Spectra assume even sampling; a least-squares sine fit does not (IEEE 1057), but trusts the times.',
    blind: 'That nothing says how is told only where a tone, noise, a sweep or the all-in-one recording was played.',
  },
  ({ stimulus }, { what }) => what !== 'no-rate' || (stimulus !== undefined && timed.has(stimulus.kind)),
);
