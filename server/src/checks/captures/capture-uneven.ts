import { aboutRecording } from './capture-warnings';

export const captureUneven = aboutRecording('capture-uneven', ['uneven', 'gaps'], {
  meaning: 'The samples are not evenly spaced in time: no frequency or phase can be trusted.',
  causes: 'A scope export of several screens one after the other; rows left out; time written with too few digits.',
  next: 'Export again with full time resolution, or as WAV.',
  source: 'Spectra and sine fits assume even sampling.',
  blind: 'A file without a time column is taken as even.',
});
