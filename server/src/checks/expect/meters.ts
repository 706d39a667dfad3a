import { formatQuantity } from '../../quantity/format';
import { fixed } from '../channels/words';
import type { ExpectationMap } from './evaluate';
import { readingsAt, recordingsAt } from './measured';
import { type Answer, type Asked, failed, met, untested } from './outcome';

/** What a meter is off by at DC, and a scope or a meter at AC: common practice, no source. So near a bound nothing is held against it. */
const meter = 0.01;
const ripples = 0.03;

type Between = { readonly min: { readonly value: number }; readonly max: { readonly value: number } };

/** DC at a point within bounds: by meter, else by a DC-coupled, scaled recording. */
function dcWithin(
  asked: Asked,
  words: Parameters<Asked['points']>[0],
  between: Between | undefined,
): Answer | undefined {
  const at = asked.points(words)?.[0];
  if (!at || !between) return undefined;
  const [low, high] = [between.min.value, between.max.value];
  const seen = [
    ...readingsAt(asked, [at], 'dc').map(({ reading, sign }) => ({
      value: sign * reading.value,
      doubt: Math.abs(reading.value) * meter,
      label: reading.label,
    })),
    ...recordingsAt(asked, at).flatMap(({ shown, probed }) =>
      shown.capture.coupling === 'dc' && probed.figures.unit === 'V'
        ? [
            {
              value: probed.figures.dc,
              doubt: 2 * (probed.figures.sd.dc ?? 0) + Math.abs(probed.figures.dc) * meter,
              label: shown.label,
            },
          ]
        : [],
    ),
  ].filter((one) => Number.isFinite(one.value));
  const outside = seen.find((one) => one.value + one.doubt < low || one.value - one.doubt > high);
  const [first] = seen;
  if (outside)
    return failed(
      `${at.text} is at ${formatQuantity(outside.value, 'V', 4)} (± ${formatQuantity(outside.doubt, 'V', 2)}); ${formatQuantity(low, 'V')} to ${formatQuantity(high, 'V')} is expected.`,
      [outside.label],
      { dc: outside.value, min: low, max: high },
    );
  return first ? met([first.label], { dc: first.value }) : untested(`a DC reading at ${at.text} would test it.`);
}

/** A point sits between two voltages, V DC. */
export const dc = (asked: Asked, of: NonNullable<ExpectationMap['dc']>): Answer | undefined =>
  dcWithin(asked, of.value?.at, of.value?.between?.value);

/** A supply holds, V DC, and its ripple, V peak to peak; an AC reading counts as a sine. */
export function supply(asked: Asked, of: NonNullable<ExpectationMap['supply']>): Answer | undefined {
  const level = dcWithin(asked, of.value?.at, of.value?.between?.value);
  if (level?.verdict === 'failed') return level;
  const at = asked.points(of.value?.at)?.[0];
  const most = of.value?.ripple?.value?.value;
  if (!at || most === undefined) return level;
  const seen = [
    ...readingsAt(asked, [at], 'ac').map(({ reading }) => ({
      ripple: reading.value * 2 * Math.SQRT2,
      label: reading.label,
    })),
    ...recordingsAt(asked, at).flatMap(({ shown, probed }) =>
      probed.figures.unit === 'V' ? [{ ripple: probed.figures.max - probed.figures.min, label: shown.label }] : [],
    ),
  ].filter((one) => Number.isFinite(one.ripple));
  const over = seen.find((one) => one.ripple * (1 - ripples) > most);
  if (over)
    return failed(
      `${at.text} carries ${formatQuantity(over.ripple, 'V')} peak to peak of ripple (± ${100 * ripples} %); at most ${formatQuantity(most, 'V')} is expected.`,
      [over.label],
      { ripple: over.ripple, most },
    );
  if (seen.length === 0) return untested(`an AC reading or a scaled recording at ${at.text} would test its ripple.`);
  return level ?? met(seen.map((one) => one.label));
}

/** A part carries no more than so many A, by a current reading. */
export function current(asked: Asked, of: NonNullable<ExpectationMap['current']>): Answer | undefined {
  const part = of.value?.in?.value?.trim();
  const most = of.value?.below?.value?.value;
  if (!part || most === undefined) return undefined;
  const reading = asked.snapshot.board.readings.find(
    (one) =>
      one.kind === 'amps' &&
      one.through === part &&
      (one.state === asked.state || asked.state === asked.snapshot.board.lastState),
  );
  if (!reading) return untested(`a current reading through ${part} would test it.`);
  const amps = Math.abs(reading.value);
  if (amps * (1 - meter) <= most) return met([reading.label], { amps });
  return failed(
    `${part} carries ${formatQuantity(amps, 'A')} (± ${formatQuantity(amps * meter, 'A', 2)}); less than ${formatQuantity(most, 'A')} is expected.`,
    [reading.label],
    { amps, most },
  );
}

/** Two points measure so many Ω, 10 % off at most where `within` is not written (common practice, no source). */
export function ohms(asked: Asked, of: NonNullable<ExpectationMap['ohms']>): Answer | undefined {
  const points = asked.points(of.value?.between);
  const is = of.value?.is?.value?.value;
  if (points?.length !== 2 || is === undefined) return undefined;
  const within = of.value?.within?.value;
  const slack =
    within === undefined ? is * 0.1 : within.dimension === 'percent' ? (is * within.value) / 100 : within.value;
  const [found] = readingsAt(asked, points, 'ohms');
  if (!found) return untested(`a reading of the ohms between ${points[0]!.text} and ${points[1]!.text} would test it.`);
  const { reading } = found;
  const value = reading.value;
  // Below 1 Ω, with the leads' own resistance in it, a reading is an upper bound: too low it cannot be.
  const bound = !reading.zeroed && value < 1;
  const high = value > is + slack && !(bound && value - is - slack < 0.5);
  const low = value < is - slack;
  if (!high && !low) return met([reading.label], { ohms: value });
  const shown =
    value === Number.POSITIVE_INFINITY
      ? 'an open'
      : `${formatQuantity(value, 'Ω')} (± ${formatQuantity(value * meter + (reading.zeroed ? 0 : 0.5), 'Ω', 2)})`;
  return failed(
    `${points[0]!.text} to ${points[1]!.text} reads ${shown}; ${formatQuantity(is, 'Ω')} ± ${formatQuantity(slack, 'Ω', 2)} is expected.`,
    [reading.label],
    { ohms: Number.isFinite(value) ? value : null, is, within: slack },
  );
}

/** A point runs at so many Hz, 200 ppm off at most where `within` is not written (common practice, no source). */
export function frequency(asked: Asked, of: NonNullable<ExpectationMap['frequency']>): Answer | undefined {
  const at = asked.points(of.value?.at)?.[0];
  const is = of.value?.is?.value?.value;
  if (!at || is === undefined) return undefined;
  const within = of.value?.within?.value;
  const ppm = within === undefined ? 200 : within.dimension === 'percent' ? within.value * 1e4 : within.value;
  const seen = [
    ...readingsAt(asked, [at], 'frequency').map(({ reading }) => ({
      value: reading.value,
      doubt: 0,
      label: reading.label,
    })),
    ...recordingsAt(asked, at).flatMap(({ shown, probed }) =>
      probed.figures.tone
        ? [{ value: probed.figures.tone.frequency, doubt: 2 * probed.figures.tone.sd.frequency, label: shown.label }]
        : [],
    ),
  ].filter((one) => Number.isFinite(one.value));
  const [first] = seen;
  if (!first) return untested(`a frequency reading at ${at.text} would test it.`);
  const off = (first.value / is - 1) * 1e6;
  if (Math.abs(off) <= ppm + (first.doubt / is) * 1e6) return met([first.label], { ppm: off });
  return failed(
    `${at.text} runs at ${formatQuantity(first.value, 'Hz', 7)}, ${fixed(off, 0)} ppm off; ${formatQuantity(is, 'Hz', 7)} within ${ppm} ppm is expected.`,
    [first.label],
    { frequency: first.value, ppm: off },
  );
}
