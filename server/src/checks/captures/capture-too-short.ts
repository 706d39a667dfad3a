import type { Capture } from '../../board/measured';
import { formatQuantity } from '../../quantity/format';
import type { RecordingFigures } from '../../signal/figures';
import { fewestPeriods } from '../../signal/remarks';
import type { Check, Draft, Snapshot } from '../check';

export const captureTooShort: Check = {
  name: 'capture-too-short',
  reads: 'figures',
  page: {
    meaning: 'The recording holds too little of what was played for the claims made on it.',
    causes: 'A scope screen that shows less than a few periods; a recording stopped at once.',
    next: 'Record a second or more, or slow the time base down.',
    source:
      'A four-parameter sine fit is poor where the record covers a fraction of a period (P. Händel, IEEE TIM 49(6), 2000); three periods: common practice, no source. Noise is measured from 20 Hz on (AES17), which takes a twentieth of a second.',
    blind:
      'Judged against the tone the stimulus states, the all-in-one recording it says was played, or in silence the noise that an expectation asks for.',
  },
  run: (snapshot) =>
    snapshot.board.captures.flatMap((capture): Draft[] => {
      const state = snapshot.captures.get(capture.name);
      const tone = capture.stimulus?.frequency;
      if (state?.is !== 'ready') return [];
      const without = state.figures.warnings.find((warning) => warning.what === 'no-sequence');
      if (without && capture.stimulus?.kind === 'all-in-one')
        return [
          {
            span: capture.file?.span ?? capture.keySpan,
            message: `The all-in-one recording is not found in ${capture.name}: ${without.text}.`.replace(/\.\.$/, '.'),
            evidence: [`capture ${capture.name}`],
          },
        ];
      if (!(state.figures.duration > 0)) return [];
      if (capture.stimulus?.kind === 'silence') return noiseUntold(snapshot, capture, state.figures);
      if (tone === undefined) return [];
      const seen = state.figures.duration * tone;
      if (seen >= fewestPeriods || tone >= state.figures.rate / 2) return [];
      return [
        {
          span: capture.file?.span ?? capture.keySpan,
          message: `${capture.name} holds ${seen.toFixed(1)} periods of ${tone} Hz: too few for its level and phase to be told.`,
          evidence: [`capture ${capture.name}`],
          figures: { periods: seen, needed: fewestPeriods },
        },
      ];
    }),
};

/** Half the rate must lie well above the band's low end, else no length would do. */
const slowest = 500;

/** Silence whose noise an expectation asks for, and which is too short to have any. */
function noiseUntold({ board }: Snapshot, capture: Capture, figures: RecordingFigures): Draft[] {
  const asked = new Set(
    (board.parsed?.value?.expect?.value ?? []).flatMap(
      (entry) => entry.value?.noise?.value?.at?.value?.flatMap(({ text }) => board.point(text)?.ref.name ?? []) ?? [],
    ),
  );
  const uneven = figures.warnings.some(({ what }) => what === 'uneven' || what === 'no-rate');
  if (uneven || figures.rate < slowest) return [];
  const points = capture.channels
    .filter(({ key }) => figures.channels.find(({ name }) => name === key)?.noise === null)
    .map(({ points: [point] }) => point!)
    .filter(({ ref }) => asked.has(ref.name));
  if (points.length === 0) return [];
  return [
    {
      span: capture.file?.span ?? capture.keySpan,
      message: `${capture.name} holds ${formatQuantity(figures.duration, 's', 2)} of silence: too little for the noise of ${points.map(({ text }) => text).join(' and ')} to be told.`,
      at: points.map(({ ref }) => ref.name),
      evidence: [`capture ${capture.name}`],
      figures: { seconds: figures.duration },
    },
  ];
}
