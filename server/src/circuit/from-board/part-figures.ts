import type { Copper } from '../../board/copper';
import { across, type Element, elements, elementsAt } from '../../board/elements';
import type { Part } from '../../board/part';
import { isGround } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import { network } from '../ac';
import { crystalLoad, defaultStray } from '../crystal';
import { type BoardNetwork, boardNetwork } from './build';
import { equivalents } from './equivalents';
import { pathFigures, toneHertz } from './figures';
import { missing, missingAtRest } from './missing';
import { line, needed, type PlaceFigure, unlike, wayLines, waysOf } from './place-figures';
import { programmes, sourcesFor } from './played';
import { atRest } from './rest';
import type { Read } from './rests-on';

/**
 * What the network says of a part: on its way the loss and corner; what it burns at rest and at full scale, stands against its
 * rating, carries; a crystal's load; what it makes together with parts beside it. Empty where it has no two ends in copper.
 */
export function partFigures(copper: Copper, part: Part): PlaceFigure[] {
  const board = boardNetwork(copper);
  const own = elements(copper).filter((element) => element.part === part);
  if (part.kind === 'crystal') return own.flatMap((element) => crystalLines(copper, element));
  if (!board) return [];
  const ways = waysOf(copper)
    .filter((path) => path.steps.some((step) => step.part === part))
    .flatMap((path) => {
      const figures = pathFigures(board, path);
      return figures ? wayLines(figures, false) : [];
    });
  return unlike([...ways, ...own.flatMap((element) => [...stress(board, element), ...equivalents(copper, element)])]);
}

function stress(board: BoardNetwork, element: Element): PlaceFigure[] {
  const { part, pins, nodes } = element;
  const name = part.designator;
  if (nodes[0] === nodes[1] || !board.points.has(name)) return [];
  const points = pins.map((pin) => part.point(pin));
  const over = points.join(' – ');
  const rest = (kind: PlaceFigure['kind'], read: Read, text: (value: number) => string | undefined): PlaceFigure[] => {
    const floor = kind === 'stress' ? undefined : flow;
    const found = atRest(board, read, points, floor);
    const words = found && text(found.value);
    if (found) return words === undefined ? [] : [line(kind, words, over, () => found.basis)];
    return needed(
      kind,
      missingAtRest(board, (netlist) => read(network(netlist).dc.solved), floor),
      over,
    );
  };
  switch (part.kind) {
    case 'resistor':
      return [
        ...rest(
          'power',
          (solved) => solved.solve().power(name),
          (watts) => (watts < least ? undefined : `${formatQuantity(watts, 'W')}${ofRating(part, 'power', 'W')}`),
        ),
        ...fullScalePower(board, element, over),
      ];
    case 'capacitor':
      return rest(
        'stress',
        (solved) => solved.solve().across(name),
        (volts) =>
          Math.abs(volts) < 1e-3 && !rating(part, 'voltage')
            ? undefined
            : `${formatQuantity(Math.abs(volts) < 1e-6 ? 0 : volts, 'V')}${ofRating(part, 'voltage', 'V')}`,
      );
    case 'led':
    case 'diode':
    case 'zener':
    case 'tvs':
      return rest(
        'current',
        (solved) => solved.solve().current(name),
        (amps) =>
          Math.abs(amps) < least ? 'carries nothing' : `${formatQuantity(amps, 'A')}${ofRating(part, 'current', 'A')}`,
      );
    default:
      return [];
  }
}

/** W and A below which there is nothing to tell. */
const least = 1e-9;
/** W and A that what nobody says must move to count. */
const flow = 1e-5;

const rating = (part: Part, dimension: string) => part.ratings.find((one) => one.dimension === dimension)?.value;

const ofRating = (part: Part, dimension: string, unit: string): string => {
  const most = rating(part, dimension);
  return most === undefined ? '' : ` of ${formatQuantity(most, unit)}`;
};

/** What a resistor takes up with a full-scale 997 Hz tone the same on both sides, DC left out. */
function fullScalePower(board: BoardNetwork, { part }: Element, over: string): PlaceFigure[] {
  const [programme] = programmes('both');
  if (board.outputs.length === 0 || board.outputs.some((output) => output.fullScale === undefined)) return [];
  const read: Read = (solved) => solved.solve(sourcesFor(board, programme!)).power(part.designator);
  if (missing(board, (netlist) => read(network(netlist).at(toneHertz))).length > 0) return [];
  const watts = read(board.network.at(toneHertz));
  if (typeof watts !== 'number' || watts < 1e-6) return [];
  return [line('power', `${formatQuantity(watts, 'W')} at 0 dBFS on both sides`, over)];
}

/** "20 pF load (stray 3 pF), cut for 18 pF". */
function crystalLines(copper: Copper, { part, pins, nodes }: Element): PlaceFigure[] {
  const sides = nodes.map((node) =>
    elementsAt(copper, node)
      .filter((element) => element.part.kind === 'capacitor' && isGround(across(element, node).to))
      .map((element) => element.part),
  );
  if (sides.some((side) => side.length === 0)) return [];
  const over = `${pins.map((pin) => part.point(pin)).join(' – ')} with ${sides
    .flat()
    .map((one) => one.designator)
    .join(', ')}`;
  const unstated = sides.flat().filter((one) => one.value === undefined);
  if (unstated.length > 0)
    return needed(
      'load',
      unstated.map((one) => one.designator),
      over,
    );
  const [first, second] = sides.map((side) => side.reduce((sum, one) => sum + one.value!.value, 0));
  const stray = part.stray ?? defaultStray;
  const load = crystalLoad(first!, second!, { across: stray });
  const cut = part.load === undefined ? '' : `, cut for ${formatQuantity(part.load, 'F')}`;
  return [line('load', `${formatQuantity(load, 'F')} load (stray ${formatQuantity(stray, 'F')})${cut}`, over)];
}
