import { describe, expect, test } from 'vitest';
import { bent } from '../../../server/src/diagnosis/causes/takes';
import { headline, verdictOf } from '../../../server/src/diagnosis/causes/verdict';
import { noiseOf, sum, times } from '../../signal/make';
import { nameOf } from './bench';
import { coupled, db, diagnosed, frames, heard, tone } from './coupled';

const hiss = (seed: number) => noiseOf(seed, frames, 1e-5);
const share = (causes: Awaited<ReturnType<typeof diagnosed>>['causes'], wanted: string) =>
  causes.filter(({ cause }) => cause === wanted).reduce((all, { probability }) => all + probability, 0);

describe('one frequency cannot prove an echo', () => {
  const lower = (seed: number) => sum(heard(db(-4.4)), hiss(seed));

  test('both sides 4.4 dB low under one tone: what was played, or the scale, comes first', async () => {
    const { causes } = await diagnosed(coupled(tone('both', 'both')), { both: [lower(1), lower(2)] });
    expect(causes[0]!.cause).toBe('misprobed');
    expect(causes[0]!.words).toMatch(/about [45] dB lower than written/);
    expect(share(causes, 'echo')).toBeLessThan(0.1);
    // And it is not said that they could be told apart.
    expect(causes.find(({ cause }) => cause === 'echo')?.group).toBe(1);
  });

  test('the same at one tone under three stimuli', async () => {
    const text = coupled(tone('left', 'left') + tone('right', 'right') + tone('both', 'both'));
    const { causes } = await diagnosed(text, {
      left: [lower(1), hiss(2)],
      right: [hiss(3), lower(4)],
      both: [lower(5), lower(6)],
    });
    expect(nameOf(causes[0]!)).toBe('misprobed capture left capture right capture both');
    expect(share(causes, 'echo')).toBeLessThan(0.1);
  });

  test('one capture of several 10 dB low is that capture, not the board', async () => {
    const low = (seed: number) => sum(heard(db(-10)), hiss(seed));
    const text = coupled(tone('left', 'left') + tone('right', 'right') + tone('both', 'both'));
    const { causes } = await diagnosed(text, {
      left: [sum(heard(), hiss(1)), hiss(2)],
      right: [hiss(3), sum(heard(), hiss(4))],
      both: [low(5), low(6)],
    });
    expect(nameOf(causes[0]!)).toBe('misprobed capture both');
  });
});

describe('a bent tone', () => {
  const cut = (at: number, seed: number) => sum(heard(), hiss(seed)).map((value) => Math.max(-at, Math.min(at, value)));

  test('clipped to half its peak: no cause is told, and the note says why', async () => {
    const at = 0.5 * Math.max(...heard());
    const diagnosis = await diagnosed(coupled(tone('both', 'both')), { both: [cut(at, 1), cut(at, 2)] });
    expect(diagnosis.causes[0]!.cause).toBe('as-designed');
    expect(diagnosis.enough).toBe(false);
    expect(share(diagnosis.causes, 'echo')).toBeLessThan(0.1);
    // h3 and the others of a sine clipped at half: 23 %.
    expect(diagnosis.notes.join(' ')).toMatch(/bent tone.*capture both \(channel 1 at 23 % distortion/);
  });

  // Reference: a sine clipped symmetrically at c of its peak, closed form: fundamental and THD_F.
  test.each([
    [0.9, 0.962614, 0.042199],
    [Math.SQRT1_2, 0.81831, 0.134196],
    [0.5, 0.608998, 0.232938],
  ])('clipped at %f of its peak, the straight tone lies within one standard deviation', (_, left, thd) => {
    const sd = left * bent(20 * Math.log10(thd), 0);
    expect(left + sd).toBeGreaterThanOrEqual(1);
    expect(left + sd).toBeLessThan(1.15);
  });

  test('a straight one is not doubted', () => expect(bent(-60, 0)).toBe(0));
});

describe('an unequal side', () => {
  const unequal = (level: number) =>
    diagnosed(coupled(tone('both', 'both')), { both: [sum(heard(), hiss(1)), sum(heard(db(level)), hiss(2))] });

  // 490 Ω becomes 5.5 k, or 10 k becomes 490 Ω: both halve what reaches the ring (voltage divider). So does a source that feeds half.
  test.each([-6, -10])('%i dB: more in series or less across, and neither alone is claimed', async (level) => {
    const diagnosis = await unequal(level);
    const { members, probability, few } = verdictOf(diagnosis.causes)!;
    const wanted = ['wrong-value R2', 'wrong-value R4', 'one-sided-source U1.2'];
    expect(members.map(nameOf)).toEqual(expect.arrayContaining(wanted));
    expect(probability).toBeGreaterThan(0.9);
    expect(members[0]!.probability).toBeLessThan(0.9);
    expect(few).toBe(3);
    expect(diagnosis.enough).toBe(true);
    expect(headline(verdictOf(diagnosis.causes)!)).toMatch(
      /^(More than )?9\d % likely one of these, and nothing measured tells them apart: .*R2 .* or /,
    );
  });

  test('a reading of ohms tells which it is', async () => {
    const diagnosis = await diagnosed(coupled(tone('both', 'both'), ['C2.2 RIGHT: 5.5 kohm']), {
      both: [sum(heard(), hiss(1)), times(heard(db(-6)), 1)],
    });
    expect(nameOf(diagnosis.causes[0]!)).toBe('wrong-value R2');
    expect(diagnosis.causes[0]!.probability).toBeGreaterThan(0.9);
  });
});

test('nothing heard anywhere: supply, mute and a source that did not play, and no one of them', async () => {
  const text = coupled(tone('left', 'left') + tone('right', 'right') + tone('both', 'both'));
  const diagnosis = await diagnosed(text, {
    left: [hiss(1), hiss(2)],
    right: [hiss(3), hiss(4)],
    both: [hiss(5), hiss(6)],
  });
  const { members, probability } = verdictOf(diagnosis.causes)!;
  expect(members.map(nameOf).sort()).toEqual([
    'held-off U1',
    'misprobed capture left capture right capture both',
    'supply-missing U1',
  ]);
  expect(probability).toBeGreaterThan(0.9);
  expect(members[0]!.probability).toBeLessThan(0.7);
});

test('a tenth on both sides: a probe’s ×10, a scale or the volume, and nothing on the board', async () => {
  const low = (seed: number) => sum(heard(0.1), hiss(seed));
  const { causes } = await diagnosed(coupled(tone('both', 'both')), { both: [low(1), low(2)] });
  expect(causes[0]!.words).toBe(
    'Capture both: everything is a tenth of what is written; a ×10 forgotten, the scale, or the volume at the source.',
  );
});
