import { expect, test } from 'vitest';
import { measurePair } from '../../../server/src/signal/pair';
import { outside } from '../../harness/outside';
import { decoded } from './reading';

const db = (ratio: number) => 20 * Math.log10(ratio);

/*
 * Real programme: sonic-pi-samples (CC0), 44.1 kHz. Side over mid, correlation and balance as measured with sox and numpy on the
 * same files.
 */
outside.suite(['sox', 'flac', 'sonic-samples'], 'real programme gets the relation it has', () => {
  const measured = (name: string) => {
    const { rate, channels } = decoded(outside.sample(name));
    return measurePair(channels[0]!, channels[1]!, rate);
  };

  test.each([
    ['loop_amen_full', 'same', -110.9, 1],
    ['loop_tabla', 'same', -59.2, 1],
    ['bass_thick_c', 'same', -36.1, 1],
    ['loop_amen', 'partly', -12.7, 0.898],
    ['guit_em9', 'partly', -9.3, 0.793],
    ['ambi_lunar_land', 'unrelated', 0, -0.001],
    // Naturally near antiphase, and no wiring fault.
    ['vinyl_hiss', 'partly', 8, -0.727],
    ['perc_bell', 'partly', 7.4, -0.702],
  ])('%s is %s: side over mid %f dB, correlation %f', (name, relation, side, rho) => {
    const pair = measured(name);
    expect(pair.relation, pair.because).toBe(relation);
    expect(db(pair.side / pair.mid)).toBeCloseTo(side, 0);
    expect(pair.correlation).toBeCloseTo(rho, 2);
  });

  test('bass_thick_c leans by 0.25 dB and stands 0.0056 off zero', () => {
    const pair = measured('bass_thick_c');
    expect(Math.abs(pair.balance!)).toBeCloseTo(0.25, 2);
    expect(pair.dc.some((dc) => Math.abs(Math.abs(dc) - 0.0056) < 0.0002)).toBe(true);
  });

  test.each(['loop_amen_full', 'loop_tabla', 'bass_thick_c'])('%s with one wire turned is antiphase', (name) => {
    const { rate, channels } = decoded(outside.sample(name));
    const turned = channels[1]!.map((value) => -value);
    expect(measurePair(channels[0]!, turned, rate).relation).toBe('antiphase');
  });

  test.each(['loop_amen', 'guit_em9', 'ambi_lunar_land', 'vinyl_hiss', 'perc_bell'])(
    '%s with one wire turned cannot be told from wide programme, and is not called antiphase',
    (name) => {
      const { rate, channels } = decoded(outside.sample(name));
      const turned = channels[1]!.map((value) => -value);
      expect(measurePair(channels[0]!, turned, rate).relation).not.toBe('antiphase');
    },
  );
});

outside.suite(['sox', 'alsa-voices'], 'spoken channel tests, mono 48 kHz', () => {
  const voice = (name: string) => decoded(outside.voice(name)).channels[0]!;
  const padded = (x: Float64Array, length: number) => Float64Array.from({ length }, (_, n) => x[n] ?? 0);
  const left = () => padded(voice('Front_Left'), 80000);
  const right = () => padded(voice('Front_Right'), 80000);
  const silence = new Float64Array(80000);
  const turned = (x: Float64Array) => x.map((value) => -value);
  const rate = 48000;

  test('one voice on both sides, straight and turned', () => {
    expect(measurePair(left(), left(), rate).relation).toBe('same');
    expect(measurePair(left(), turned(left()), rate).relation).toBe('antiphase');
  });

  test('two voices: correlation −0.06; turning one changes nothing that can be measured', () => {
    const straight = measurePair(left(), right(), rate);
    const other = measurePair(left(), turned(right()), rate);
    expect(straight.correlation).toBeCloseTo(-0.06, 1);
    expect(other.correlation).toBeCloseTo(-straight.correlation!, 9);
    expect(straight.relation).toBe('unrelated');
    expect(other.relation).toBe('unrelated');
  });

  test('two voices summed to mono; one side dead', () => {
    const other = right();
    const sum = left().map((value, n) => (value + other[n]!) / 2);
    expect(measurePair(sum, sum, rate).relation).toBe('same');
    expect(measurePair(left(), silence, rate).relation).toBe('one-silent');
    expect(measurePair(silence, silence, rate).relation).toBe('both-silent');
  });

  test('one voice a quarter of a millisecond late', () => {
    const late = left().map((_, n, all) => all[n - 12] ?? 0);
    const pair = measurePair(left(), late, rate);
    expect(pair.relation).toBe('delayed');
    expect(pair.delay!.seconds * rate).toBeCloseTo(12, 2);
  });
});

outside.suite(['sox', 'alsa-voices', 'ogg-voices', 'vorbis'], 'the same, but noisy', () => {
  test('a voice against itself out of a lossy codec: ρ 0.9995, and the same', () => {
    const folder = outside.run('sh', ['-c', 'mktemp -d']).stdout.trim();
    outside.run('oggdec', ['-Q', '-o', `${folder}/v.wav`, outside.oggVoice('front-left')]);
    const lossy = decoded(`${folder}/v.wav`);
    const plain = decoded(outside.voice('Front_Left'));
    outside.run('rm', ['-r', folder]);
    const length = Math.min(lossy.channels[0]!.length, plain.channels[0]!.length);
    expect(lossy.rate).toBe(plain.rate);
    const pair = measurePair(plain.channels[0]!.slice(0, length), lossy.channels[0]!.slice(0, length), plain.rate);
    expect(pair.correlation).toBeCloseTo(0.9995, 3);
    expect(pair.relation).toBe('same');
  });
});
