import type { Bench, Joint } from '../bench';
import { odds } from '../priors';
import type { CauseName, Effect, Hypothesis } from '../types';

/** Leads exchanged at a connector: left with right, or the two legs of a balanced pair. What is probed before the leads stays right. */
export function leadHypotheses(bench: Bench): Hypothesis[] {
  const contacts = bench.joints.filter(({ kind }) => kind === 'contact');
  const byPart = new Map<string, Joint[]>();
  for (const joint of contacts) {
    const designator = joint.points[0]!.split('.')[0]!;
    byPart.set(designator, [...(byPart.get(designator) ?? []), joint]);
  }
  return [...byPart].flatMap(([designator, joints]): Hypothesis[] => {
    const part = bench.copper.parts.get(designator);
    const of = (duty: string) =>
      joints.find(({ points }) => part?.duty(points[0]!.slice(designator.length + 1)) === duty);
    return (
      [
        ['left', 'right', 'sides-exchanged'],
        ['hot', 'cold', 'polarity-reversed'],
      ] as const
    ).flatMap(([first, second, cause]) => exchanged(bench, of(first), of(second), cause));
  });
}

function exchanged(bench: Bench, a: Joint | undefined, b: Joint | undefined, cause: CauseName): Hypothesis[] {
  if (!a || !b) return [];
  const [from, to] = [a, b].map((joint) => boardSide(bench, joint));
  if (from === undefined || to === undefined) return [];
  const effect: Effect = {
    changes: [a, b].map(({ element }) => ({ element, becomes: 'open' as const })),
    bridges: [
      { between: [a.points[0]!, to], ohms: 0 },
      { between: [b.points[0]!, from], ohms: 0 },
    ],
  };
  return [
    {
      cause,
      at: [a.points[0]!, b.points[0]!],
      mode: null,
      prior: odds['exchanged-leads'],
      variants: [{ weight: 1, effect }],
    },
  ];
}

/** A point of the copper that a contact's lead comes from. */
function boardSide({ copper, nodeOf }: Bench, { points }: Joint): string | undefined {
  const node = copper.node(points[0]!);
  return node?.points.find((point) => nodeOf(point) === node.name);
}
