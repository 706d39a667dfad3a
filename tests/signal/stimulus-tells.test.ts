import { describe, expect, test } from 'vitest';
import type { Stimulus } from '../../server/src/signal/figures';
import { caseWords, mixes, type OutputCase } from '../../server/src/signal/output-cases';
import { alike, type StimulusTells, stimulusTells } from '../../server/src/signal/stimulus-tells';

const tone = (side: Stimulus['side']): Stimulus => ({ kind: 'tone', tone: 997, side });
const unlike: Stimulus = { kind: 'noise', side: 'unlike' };
const among = (one: OutputCase, stimuli: Stimulus[]) => alike(one, stimuli).sort();

/** The discriminating table of output stages: worked out by Kirchhoff, simulated with numpy. */
describe('which stages one recording cannot tell apart', () => {
  test('the same tone on both: differential, differential of one side, one side reversed', () => {
    expect(among('differential', [tone('both')])).toEqual([
      'differential-of-left',
      'differential-of-right',
      'polarity-reversed',
    ]);
    expect(among('as-designed', [tone('both')])).toContain('sides-exchanged');
    expect(among('as-designed', [tone('both')])).toContain('mono-summed');
    expect(among('return-open', [tone('both')])).toEqual([]);
  });

  test('left alone shows no reversal of one side; unlike noise neither', () => {
    expect(among('polarity-reversed', [tone('left')])).toContain('as-designed');
    expect(among('polarity-reversed', [unlike])).toContain('as-designed');
  });

  test('unlike noise: an open return looks differential, the same on both tells them apart', () => {
    expect(among('return-open', [unlike])).toContain('differential');
    expect(among('return-open', [unlike, tone('both')])).not.toContain('differential');
  });

  test('a sum to mono and a differential output both vanish under opposed tones', () => {
    expect(among('mono-summed', [tone('opposed')])).toEqual(['differential']);
  });

  test('sides exchanged show under one side alone and nowhere else', () => {
    for (const side of ['both', 'opposed'] as const)
      expect(among('sides-exchanged', [tone(side)])).toContain('as-designed');
    expect(among('sides-exchanged', [unlike])).toContain('as-designed');
    expect(among('sides-exchanged', [tone('left')])).not.toContain('as-designed');
  });

  test('left, right, both and opposed tell every stage apart but those of time and echo', () => {
    const all = (['left', 'right', 'both', 'opposed'] as const).map(tone);
    for (const name of Object.keys(mixes) as OutputCase[])
      if (name !== 'delayed' && name !== 'echo')
        expect(alike(name, all).filter((other) => other !== 'delayed' && other !== 'echo')).toEqual([]);
  });
});

describe('what a stimulus can tell', () => {
  const flags = (stimulus: Stimulus | null) =>
    Object.entries(stimulusTells(stimulus))
      .filter(([key, value]) => key.startsWith('canTell') && value === true)
      .map(([key]) => key.slice(7))
      .sort();

  test('nothing where nothing is stated', () => {
    expect(flags(null)).toEqual([]);
    expect(stimulusTells(null).cannot.length).toBe(1);
    expect(flags({ kind: 'tone', tone: 997 })).toEqual(['Distortion', 'Hum', 'Noise']);
  });

  test('a tone on both: something opposed, a dead side, an open return, balance; never which of the opposed', () => {
    expect(flags(tone('both'))).toEqual([
      'Balance',
      'DeadLeft',
      'DeadRight',
      'Distortion',
      'Hum',
      'Noise',
      'Opposed',
      'Return',
    ]);
  });

  test('a tone on the left alone: sides, mono, separation, the left dead; not the right', () => {
    const told = stimulusTells(tone('left'));
    expect([told.canTellSides, told.canTellMono, told.canTellSeparation]).toEqual([true, true, true]);
    expect([told.canTellDeadLeft, told.canTellDeadRight]).toEqual([true, false]);
    expect(told.canTellPolarity).toBe(false);
  });

  test('opposed tones: antiphase is what was played; in phase means one side reversed', () => {
    const told = stimulusTells(tone('opposed'));
    expect([told.canTellOpposed, told.canTellPolarity]).toEqual([false, true]);
  });

  test('programme with no side named: never sides, mono, delay or polarity; but opposed in every band', () => {
    const told = stimulusTells({ kind: 'programme' });
    const { canTellSides, canTellMono, canTellDelay, canTellPolarity, canTellDistortion, canTellHum } = told;
    expect([canTellSides, canTellMono, canTellDelay, canTellPolarity, canTellDistortion, canTellHum]).toEqual(
      Array(6).fill(false),
    );
    expect(told.canTellOpposed).toBe(true);
  });

  test('delay needs many frequencies on both sides, an echo a spectrum that is known, bass a low one', () => {
    const told = (stimulus: Stimulus, flag: keyof StimulusTells) => stimulusTells(stimulus)[flag];
    expect(told(tone('both'), 'canTellDelay')).toBe(false);
    expect(told({ kind: 'noise', side: 'both' }, 'canTellDelay')).toBe(true);
    expect(told({ kind: 'programme', side: 'both' }, 'canTellDelay')).toBe(true);
    expect(told({ kind: 'sweep' }, 'canTellDelay')).toBe(true);
    expect(told(unlike, 'canTellDelay')).toBe(false);
    expect(told({ kind: 'programme', side: 'both' }, 'canTellEcho')).toBe(false);
    expect(told({ kind: 'noise', side: 'both' }, 'canTellEcho')).toBe(true);
    expect(told(tone('both'), 'canTellCoupling')).toBe(false);
    expect(told({ kind: 'tone', tone: 61, side: 'both' }, 'canTellCoupling')).toBe(true);
  });

  test('the all-in-one recording tells everything', () => {
    const told = stimulusTells({ kind: 'all-in-one' });
    expect(Object.entries(told).filter(([, value]) => value === false)).toEqual([]);
    expect(told.cannot).toEqual([]);
    expect(told.can.length).toBe(Object.keys(mixes).length - 1);
  });

  test('in words: what is missing, with what to play for it', () => {
    const { can, cannot } = stimulusTells(tone('both'));
    expect(can.some((line) => line.includes('not which') && line.includes(caseWords['polarity-reversed']))).toBe(true);
    expect(cannot.some((line) => line.includes(caseWords['sides-exchanged']) && line.includes('left side alone'))).toBe(
      true,
    );
    expect(stimulusTells({ kind: 'silence' }).can).toEqual([]);
    for (const line of cannot) expect(line).toMatch(/: play /);
  });
});
