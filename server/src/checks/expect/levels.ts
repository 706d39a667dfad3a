import { toVoltsRms } from '../../quantity/convert';
import { formatQuantity } from '../../quantity/format';
import type { Quantity } from '../../quantity/quantity';
import type { ChannelFigures } from '../../signal/figures';
import { fixed } from '../channels/words';
import type { ExpectationMap } from './evaluate';
import { pairsAt, readingsAt, recordingsAt } from './measured';
import { type Answer, type Asked, failed, met, untested } from './outcome';

/** dB that a level or balance may be off where `within` is not written: common practice, no source. */
const usual = 1;
/** dB that a level and a noise figure are off by: a meter's or a scale's 1 %; the scatter of noise. Common practice, no source. */
const levelDoubt = 0.1;
const noiseDoubt = 0.3;

const rmsOf = (figures: ChannelFigures) => (figures.tone ? figures.tone.amplitude / Math.SQRT2 : figures.rms);

/** Level of a channel in the unit of a quantity: dBFS where that is asked for, else V RMS; null where it has none. */
function inTermsOf(figures: ChannelFigures, wanted: Quantity): { value: number; target: number; unit: string } | null {
  const rms = rmsOf(figures);
  if (wanted.unit === 'dBFS') {
    if (figures.unit !== 'FS') return null;
    return { value: rms * Math.SQRT2, target: 10 ** (wanted.value / 20), unit: 'dBFS' };
  }
  const volts = toVoltsRms(wanted);
  return figures.unit === 'V' && volts !== null ? { value: rms, target: volts, unit: 'V' } : null;
}

/** A point carries a level, within `within` dB: by an AC reading, or a recording of anything but silence, that comes nearest. */
export function level(asked: Asked, of: NonNullable<ExpectationMap['level']>): Answer | undefined {
  const at = asked.points(of.value?.at)?.[0];
  const wanted = of.value?.is?.value;
  if (!at || !wanted) return undefined;
  const within = of.value?.within?.value?.value ?? usual;
  const candidates: { db: number; text: string; label: string }[] = [];
  const volts = toVoltsRms(wanted);
  for (const { reading } of readingsAt(asked, [at], 'ac'))
    if (volts !== null && Number.isFinite(reading.value))
      candidates.push({
        db: decibel(reading.value / volts),
        text: formatQuantity(reading.value, 'V'),
        label: reading.label,
      });
  for (const { shown, probed } of recordingsAt(asked, at)) {
    const seen = shown.stimulus?.kind === 'silence' ? null : inTermsOf(probed.figures, wanted);
    if (!seen || seen.value <= 0) continue;
    candidates.push({
      db: decibel(seen.value / seen.target),
      text: seen.unit === 'V' ? formatQuantity(seen.value, 'V') : `${fixed(decibel(seen.value), 1)} dBFS`,
      label: shown.label,
    });
  }
  // Which of several recordings is meant is not said: the one that fits speaks, else the nearest.
  const best = candidates.reduce<(typeof candidates)[number] | undefined>(
    (a, b) => (a && Math.abs(a.db) <= Math.abs(b.db) ? a : b),
    undefined,
  );
  if (!best) return untested(`a scaled recording of a tone at ${at.text}, or an AC reading there, would test it.`);
  if (Math.abs(best.db) <= within + levelDoubt) return met([best.label], { difference: best.db });
  return failed(
    `${at.text} carries ${best.text}, ${fixed(Math.abs(best.db), 1)} dB too ${best.db > 0 ? 'much' : 'little'} (± ${levelDoubt} dB); ${wanted.text} within ${fixed(within, 1)} dB is expected.`,
    [best.label],
    { difference: best.db, within },
  );
}

/** The sides are equally loud, within `within` dB: by a tone, noise or sweep the same on both. */
export function balance(asked: Asked, of: NonNullable<ExpectationMap['balance']>): Answer | undefined {
  const left = asked.points(of.value?.left)?.[0];
  const right = asked.points(of.value?.right)?.[0];
  if (!left || !right) return undefined;
  const within = of.value?.within?.value?.value ?? usual;
  for (const { shown, stand } of pairsAt(asked, left, right)) {
    const { kind, side } = shown.stimulus ?? {};
    if (
      (kind !== 'tone' && kind !== 'noise' && kind !== 'sweep') ||
      (side !== 'both' && side !== 'opposed') ||
      stand.balance === null
    )
      continue;
    const sd = 2 * (stand.pair.balanceSd ?? 0.02);
    if (Math.abs(stand.balance) <= within + sd) return met([shown.label], { balance: stand.balance });
    return failed(
      `${right.text} is ${fixed(Math.abs(stand.balance), 2)} dB (± ${fixed(Math.max(sd, 0.01), 2)}) ${stand.balance > 0 ? 'above' : 'below'} ${left.text}; within ${fixed(within, 1)} dB is expected.`,
      [shown.label],
      { balance: stand.balance, within },
    );
  }
  return untested(
    `a recording of ${left.text} and ${right.text} with a tone or noise the same on both sides would test it.`,
  );
}

/** A point is quiet, in dBV or dBFS: by a recording in silence, or what a tone leaves. */
export function noise(asked: Asked, of: NonNullable<ExpectationMap['noise']>): Answer | undefined {
  const at = asked.points(of.value?.at)?.[0];
  const limit = of.value?.below?.value;
  if (!at || !limit) return undefined;
  const weighted = of.value?.weighting?.value === 'A';
  const volts = toVoltsRms(limit);
  const wanted = limit.unit === 'dBFS' ? limit.value : volts === null ? null : decibel(volts);
  if (wanted === null) return undefined;
  for (const { shown, probed } of recordingsAt(asked, at)) {
    const { noise: figures, unit } = probed.figures;
    const kind = shown.stimulus?.kind;
    if (!figures || (kind !== 'silence' && kind !== 'tone') || (limit.unit === 'dBFS') !== (unit === 'FS')) continue;
    const seen = weighted ? figures.A : figures.flat;
    const name = `${fixed(seen, 1)} ${limit.unit === 'dBFS' ? 'dBFS' : 'dBV'}${weighted ? '(A)' : ''}`;
    if (seen <= wanted + noiseDoubt) return met([shown.label], { noise: seen });
    return failed(
      `${at.text} carries ${name} of noise (± ${noiseDoubt} dB); less than ${fixed(wanted, 1)} is expected.`,
      [shown.label],
      { noise: seen, below: wanted },
    );
  }
  return untested(`a ${limit.unit === 'dBFS' ? '' : 'scaled '}recording of ${at.text} in silence would test it.`);
}

/** THD+N of a point, in dB or percent: by the cleanest recording of a tone there. */
export function distortion(asked: Asked, of: NonNullable<ExpectationMap['distortion']>): Answer | undefined {
  const at = asked.points(of.value?.at)?.[0];
  const limit = of.value?.below?.value;
  if (!at || !limit) return undefined;
  const wanted = limit.dimension === 'percent' ? decibel(limit.value / 100) : -Math.abs(limit.value);
  const seen = recordingsAt(asked, at).flatMap(({ shown, probed }) => {
    const thdn = probed.figures.thdnAudio ?? probed.figures.thdn;
    return shown.stimulus?.kind === 'tone' && thdn !== null && probed.figures.tone && carries(probed.figures)
      ? [{ thdn, label: shown.label }]
      : [];
  });
  const best = seen.reduce<(typeof seen)[number] | undefined>((a, b) => (a && a.thdn <= b.thdn ? a : b), undefined);
  if (!best) return untested(`a recording of a tone at ${at.text} would test it.`);
  if (best.thdn <= wanted) return met([best.label], { thdn: best.thdn });
  return failed(
    `THD+N at ${at.text} is ${fixed(best.thdn, 1)} dB (${formatPercent(best.thdn)}); less than ${fixed(wanted, 1)} dB is expected.`,
    [best.label],
    { thdn: best.thdn, below: wanted },
  );
}

/** A side that was not played carries crosstalk: its distortion is none of the output's. */
const carries = (figures: ChannelFigures): boolean => figures.snr === null || figures.snr > 10;

const decibel = (ratio: number) => 20 * Math.log10(ratio);
const formatPercent = (db: number) => `${(100 * 10 ** (db / 20)).toPrecision(2)} %`;
