import type { Copper, CopperNode } from '../../board/copper';
import { isGround, roleOf } from '../../board/roles';
import type { Edit, Finding } from '../../text/finding';
import type { Span } from '../../text/span';
import { touches } from '../../text/span';
import type { Action } from '../actions';
import type { BoardAnalysis } from '../analysis';
import { shown } from '../diagnostics';
import { spelling } from '../names';
import { insertion } from './insert';

/**
 * A supply pin without decoupling gets a capacitor in the text: the next free designator, 100 nF, joined as a guess. Whether the board has it is
 * for a probe to say, so the joins go under `assumed` and the part carries a remark.
 */
export function addDecoupling(analysis: BoardAnalysis, selection: Span): Action[] {
  return analysis.findings.flatMap((finding) => {
    if (finding.check !== 'decoupling-missing' || finding.place.file !== analysis.uri) return [];
    const span = shown(finding.place.span, analysis.text);
    return touches(span, selection.start) || touches(span, selection.end)
      ? (capacitorFor(analysis, finding) ?? [])
      : [];
  });
}

function capacitorFor({ board, text, uri, parsed }: BoardAnalysis, finding: Finding): Action | undefined {
  const copper = board.at();
  const supply = copper.node(finding.at[0] ?? '');
  const ground = supply && groundOf(copper, supply, finding.at);
  if (!supply || !ground) return undefined;
  const name = freeCapacitor(board.states.map((state) => board.at(state)));
  const [plus, minus] = [pointOn(copper, supply), pointOn(copper, ground)];
  const { root } = parsed.tree;
  const remark = `a guess: look for it close to ${spelling(copper, finding.at[0]!)}`;
  const part = insertion(text, uri, root, ['parts'], 'map', [{ text: `${name}: 100 nF`, remark }]);
  const guesses = [`${name}.1 ${plus}`, `${name}.2 ${minus}`].map((join) => ({ text: join }));
  const joins = insertion(text, uri, root, ['traces', 'assumed'], 'list', guesses);
  if (!part || !joins) return undefined;
  return {
    title: `Add ${name}, 100 nF, from ${plus} to ${minus}, as a guess to be proven`,
    kind: 'quickfix',
    safe: false,
    edits: inOne(part, joins),
    finding,
  };
}

/** The ground of the part whose pin it is, where copper has it; else any ground there is. */
function groundOf(copper: Copper, supply: CopperNode, at: readonly string[]): CopperNode | undefined {
  const parts = new Set(supply.pins.filter((pin) => at.includes(pin.name)).map((pin) => pin.part));
  const grounds = copper.nodes.filter((node) => node !== supply && isGround(node));
  return (
    grounds.find((node) => node.pins.some((pin) => parts.has(pin.part) && roleOf(pin, node) === 'ground')) ??
    grounds.find((node) => node.nets.length > 0) ??
    grounds[0]
  );
}

/** A node by its net, else by the point the board spells first. */
const pointOn = (copper: Copper, node: CopperNode): string => node.nets[0]?.name ?? spelling(copper, node.name);

function freeCapacitor(coppers: readonly Copper[]): string {
  const numbers = coppers.flatMap((copper) =>
    [...copper.parts.keys()].flatMap((name) => Number(/^C(\d+)$/.exec(name)?.[1] ?? 0)),
  );
  return `C${Math.max(0, ...numbers) + 1}`;
}

/** Two things that go to one place are one edit, each on lines of its own. */
const inOne = (a: Edit, b: Edit): Edit[] =>
  a.span.start === b.span.start ? [{ ...a, text: a.text + b.text.replace(/^[\r\n]+/, '') }] : [a, b];
