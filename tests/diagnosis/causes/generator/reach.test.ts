import { expect, test } from 'vitest';
import { hypothesesFor } from '../../../../server/src/diagnosis/causes/hypotheses/all';
import { Predicting } from '../../../../server/src/diagnosis/causes/predict';
import { Scene } from '../../../../server/src/diagnosis/causes/scene';
import { together } from '../../../../server/src/diagnosis/causes/search';
import { measuredOn } from '../../../../server/src/diagnosis/causes/takes';
import type { Effect } from '../../../../server/src/diagnosis/causes/types';
import { boardOf } from '../bench';
import { figuresOf, nominal, simulate } from './simulate';
import { drawWorld, tuned, unseen } from './world';

/** A scene of a made-up board, one of its captures taken twice, and readings on several islands. */
function sceneOf(seed: number): Scene {
  const world = drawWorld(seed, [...tuned, ...unseen], 14);
  const again = /^ {2}left: .*$/m.exec(world.text)![0].replace('left:', 'once-more:');
  const text = world.text.replace(
    'READING',
    `3.3 V\n  - U1.3: 1.65 V\n  - {between: [${world.pieces[0]!.ref}.1, ${world.pieces[0]!.ref}.2], ohms: 10 kohm}`,
  );
  const board = boardOf(text + again, world.pinout);
  const figures = figuresOf(simulate(world, nominal, {}));
  figures.set('once-more', figures.get('left')!);
  return new Scene(board, measuredOn(board, figures));
}

/** Everything asked of the network, nothing taken over from elsewhere. */
function inFull(scene: Scene, effect: Effect): Predicting {
  const made = new Predicting(scene.slots, effect, true);
  for (const staged of scene.takes) made.take(staged);
  for (const staged of scene.meters) made.meter(staged);
  return made;
}

test('what an effect cannot move is what it is without it: predictions put together are those worked out in full', () => {
  let kept = 0;
  for (const seed of [1, 5]) {
    const scene = sceneOf(seed);
    const all = hypothesesFor(scene, scene.bench(scene.state)!);
    const effects = all.flatMap(({ variants }) => variants.slice(0, 2).map(({ effect }) => effect));
    const pairs = effects.map((effect, k) => together(effect, effects[(7 * k + 3) % effects.length]!));
    for (const effect of [...effects, ...pairs]) {
      const quick = scene.predict(effect);
      if (quick === scene.designed()) kept++;
      const full = inFull(scene, effect);
      const apart = (a: Float64Array, b: Float64Array) =>
        a.reduce((most, value, k) => Math.max(most, Math.abs(value - b[k]!) / (Math.abs(value) + 1e-5)), 0);
      expect(apart(full.values, quick.values), JSON.stringify(effect)).toBeLessThan(1e-4);
      for (const name of new Set([...full.columns.keys(), ...quick.columns.keys()])) {
        const none = new Float64Array(full.values.length);
        const [a, b] = [full.columns.get(name) ?? none, quick.columns.get(name) ?? none];
        expect(apart(a, b), `${name} ${JSON.stringify(effect)}`).toBeLessThan(1e-4);
      }
      expect(quick.correlations).toEqual(full.correlations);
    }
  }
  expect(kept).toBeGreaterThan(5);
});
