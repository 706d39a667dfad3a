import type { Copper, CopperNode, Join } from '../../board/copper';
import { pathText } from '../../board/paths';
import { isGround, isSupply } from '../../board/roles';
import { waysOf } from '../../circuit/from-board/place-figures';
import type { BoardAnalysis } from '../analysis';
import { bullets, fenced, paragraphs, prose } from '../markdown';
import { spelling } from '../names';
import { boardCautions } from './cautions';
import { followed } from './part';

/** How the link to the next point is drawn: by its line alone the reader knows what it rests on. */
const links: Record<Join['evidence'], string> = { buzzed: '━━', seen: '╌╌', assumed: '··' };
const legend = [
  '`━━` buzzed: the meter beeped',
  '`╌╌` seen: followed by eye',
  '`··` assumed: a guess, still to be proven',
] as const;
const levels = ['assumed', 'seen', 'buzzed'] as const;
/** Columns after which a row of points goes on below: a page beside the text is narrow. */
const columns = 44;

/** The copper of a board as its last state has it: every net with its points, drawn by what joins them. Markdown. */
export function copperMap({ board }: BoardAnalysis): string {
  const copper = board.at();
  const groups = new Map<string, string[]>();
  for (const node of copper.nodes) {
    if (node.points.length < 2 && node.nets.length === 0) continue;
    const kind = isGround(node) ? 'Grounds' : isSupply(node) ? 'Supplies' : node.nets.length > 0 ? 'Nets' : 'Unnamed';
    const list = groups.get(kind) ?? [];
    list.push(nodeText(copper, node));
    groups.set(kind, list);
  }
  const ways = waysOf(copper).map((path) => `${prose(pathText(path))} (${path.carries})`);
  const open = [...copper.parts.values()].flatMap((part) => {
    const text = part.fitted ? followed(copper, part) : undefined;
    return text?.startsWith('Not found yet') ? [`**${prose(part.designator)}** ${text}`] : [];
  });
  const apart = copper.apart.map((list) => list.points.map((point) => prose(point.text)).join(', '));
  return paragraphs(
    `# Copper map: ${prose(board.title?.text ?? 'untitled board')}`,
    copper.state !== 'as-found' && `After the rework ${prose(copper.state)}.`,
    boardCautions(board),
    groups.size === 0 ? 'No copper has been followed yet.' : legend.join(' · '),
    ...['Grounds', 'Supplies', 'Nets', 'Unnamed'].flatMap((kind) => {
      const found = groups.get(kind);
      return found ? [`## ${kind}`, ...found] : [];
    }),
    section('Ways of the signal', ways),
    section('No beep between', apart),
    section('Not found yet', open),
  );
}

const section = (title: string, lines: readonly string[]): string | undefined =>
  lines.length === 0 ? undefined : `## ${title}\n\n${bullets(lines)}`;

/** A net's name, what it is for, and its points. */
function nodeText(copper: Copper, node: CopperNode): string {
  const roles = node.nets.flatMap(({ role, channel }) => (role ? [`${role}${channel ? `, ${channel}` : ''}`] : []));
  const names = node.nets.length > 0 ? node.nets.map((net) => net.name) : [spelling(copper, node.name)];
  const facts = [
    ...new Set(roles),
    node.complete ? 'everything on it is listed' : 'what else it reaches: not found yet',
  ];
  const apart = new Set(names);
  const points = node.points.filter((point) => !apart.has(point));
  return paragraphs(
    `**${names.map(prose).join(', ')}** · ${facts.join(' · ')}`,
    fenced(points.length === 0 ? 'no pin yet' : rows(copper, node, names[0]!).join('\n')),
  );
}

/**
 * The points of a node in rows. Those that buzzed together stand side by side, those groups that the eye joined next to one another,
 * and guesses between the rest: so each link says the strongest evidence there is between what stands left and right of it.
 */
function rows(copper: Copper, node: CopperNode, start: string): string[] {
  const spelled = (point: string) => {
    const pin = node.pins.find(({ name }) => name === point);
    const name = pin?.spec?.name;
    const written = spelling(copper, point);
    return name === undefined || written.endsWith(`.${name}`) ? written : `${written} (${name})`;
  };
  const lines: string[] = [];
  let line = '';
  for (const { point, link } of inOrder(copper, node, start)) {
    const next = link === undefined ? spelled(point) : ` ${links[link]} ${spelled(point)}`;
    if (line !== '' && line.length + next.length > columns) {
      lines.push(line);
      line = '   ';
    }
    line += next;
  }
  return [...lines, line];
}

interface Placed {
  readonly point: string;
  /** The evidence that joins it to what stands before it; none for the first. */
  readonly link: Join['evidence'] | undefined;
}

function inOrder(copper: Copper, node: CopperNode, start: string): Placed[] {
  const here = new Set(node.points);
  const joins = copper.joins.filter((join) => join.points.some((point) => here.has(point.ref.name)));
  const first = here.has(start) ? [start, ...node.points.filter((point) => point !== start)] : node.points;
  const split = (points: readonly string[], level: number, link: Placed['link']): Placed[] => {
    const evidence = levels[level];
    if (evidence === undefined) return points.map((point, at) => ({ point, link: at === 0 ? link : 'buzzed' }));
    const allowed = joins.filter((join) => levels.indexOf(join.evidence) >= level);
    return groupsOf(points, allowed).flatMap((group, at) =>
      split(group, level + 1, at === 0 ? link : levels[level - 1]),
    );
  };
  return split(first, 0, undefined);
}

/** Points that some joins put together, in the order in which they come. */
function groupsOf(points: readonly string[], joins: readonly Join[]): string[][] {
  const parent = new Map(points.map((point) => [point, point]));
  const root = (point: string): string => {
    let at = point;
    while (parent.get(at) !== at) at = parent.get(at)!;
    return at;
  };
  for (const join of joins) {
    const own = join.points.map((point) => point.ref.name).filter((name) => parent.has(name));
    for (const point of own.slice(1)) parent.set(root(point), root(own[0]!));
  }
  const groups = new Map<string, string[]>();
  for (const point of points) {
    const key = root(point);
    groups.set(key, [...(groups.get(key) ?? []), point]);
  }
  return [...groups.values()];
}
