import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joinText } from '../../server/src/board/copper';
import { boardOf } from './boards';

const proofOf = (text: string, from: string, to: string) => {
  const proof = boardOf(text).at().proof(from, to);
  return proof && { joins: proof.joins.map(joinText), weakest: proof.weakest };
};

describe('copper', () => {
  it('points in several joins merge them into one node', () => {
    const copper = boardOf('traces: {buzzed: [R1.1 C1.1, C1.1 R2.1], seen: [R2.1 NET]}').at();
    expect(copper.node('R1.1')).toBe(copper.node('NET'));
    expect([...copper.node('NET')!.points].sort()).toEqual(['C1.1', 'NET', 'R1.1', 'R2.1']);
    expect(copper.node('NET')!.name).toBe('NET');
  });

  it('a proof takes the strongest path, however much longer', () => {
    const text = `traces:
  buzzed:
    - R1.1 R2.1
    - R2.1 R3.1
    - R3.1 R4.1
  seen:
    - R1.1 C9.1
    - C9.1 R4.1
  assumed:
    - R1.1 R4.1
`;
    expect(proofOf(text, 'R1.1', 'R4.1')).toEqual({
      joins: ['buzzed R1.1 R2.1', 'buzzed R2.1 R3.1', 'buzzed R3.1 R4.1'],
      weakest: 'buzzed',
    });
  });

  it('the weakest evidence of the strongest path is what the proof is worth', () => {
    const text = 'traces: {buzzed: [A B], seen: [B C], assumed: [A C, C D]}';
    expect(proofOf(text, 'A', 'C')).toEqual({ joins: ['buzzed A B', 'seen B C'], weakest: 'seen' });
    expect(proofOf(text, 'A', 'D')?.weakest).toBe('assumed');
    expect(proofOf(text, 'A', 'E')).toBeUndefined();
  });

  it('random copper: a proof exists exactly where points are one node, and no path is stronger', () => {
    const names = ['A', 'B', 'C', 'D', 'E', 'F', 'G'];
    const evidences = ['buzzed', 'seen', 'assumed'] as const;
    const joins = fc.array(
      fc.record({ a: fc.constantFrom(...names), b: fc.constantFrom(...names), how: fc.constantFrom(...evidences) }),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(joins, (made) => {
        const text = evidences.map(
          (how) =>
            `${how}: [${made
              .filter((join) => join.how === how)
              .map((join) => `${join.a} ${join.b}`)
              .join(', ')}]`,
        );
        const copper = boardOf(
          `traces: {${text.join(', ')}}\nnets: {${names.map((name) => `${name}: {}`).join(', ')}}`,
        ).at();
        // By hand: what is reachable with joins no weaker than each step of evidence.
        const reach = (from: string, upTo: number) => {
          const seen = new Set([from]);
          for (let grown = true; grown; ) {
            grown = false;
            for (const { a, b, how } of made) {
              if (evidences.indexOf(how) > upTo || seen.has(a) === seen.has(b)) continue;
              seen.add(a).add(b);
              grown = true;
            }
          }
          return seen;
        };
        for (const from of names)
          for (const to of names) {
            if (from === to) continue;
            const best = [0, 1, 2].find((upTo) => reach(from, upTo).has(to));
            const proof = copper.proof(from, to);
            expect(proof?.weakest).toBe(best === undefined ? undefined : evidences[best]);
            expect(copper.node(from) === copper.node(to)).toBe(best !== undefined);
          }
      }),
      { numRuns: 200, seed: 7 },
    );
  });

  it('apart holds between whole nodes', () => {
    const copper = boardOf('traces: {buzzed: [A A2, B B2], apart: [A2 B2 C]}').at();
    expect(copper.foundApart(copper.node('A')!, copper.node('B')!)).toBe(true);
    expect(copper.foundApart(copper.node('A')!, copper.node('C')!)).toBe(true);
    expect(copper.foundApart(copper.node('A')!, copper.node('A2')!)).toBe(false);
  });

  describe('complete', () => {
    const complete = (text: string, point: string) => boardOf(text).at().node(point)!.complete;
    it('by the board, by the net, by a point that reaches nothing', () => {
      expect(complete('complete: true\ntraces: {buzzed: [A B]}', 'A')).toBe(true);
      expect(complete('nets: {A: {complete: true}}\ntraces: {buzzed: [A B, C D]}', 'B')).toBe(true);
      expect(complete('nets: {A: {complete: true}}\ntraces: {buzzed: [A B, C D]}', 'C')).toBe(false);
      expect(complete('traces: {seen: [R1.1]}', 'R1.1')).toBe(true);
      expect(complete('traces: {buzzed: [A B]}', 'A')).toBe(false);
    });
    it('not where a point of the node could not be read', () => {
      expect(complete('complete: true\ntraces: {buzzed: [A R1.7]}', 'A')).toBe(false);
      expect(complete('complete: true\ntraces: {buzzed: [A B, C R1.1, R1.9 D]}', 'C')).toBe(false);
    });
  });
});
