import { isCurrent } from '../../board/currency';
import type { SignalPath } from '../../board/paths';
import { joinsAlong, outputs, pathsFrom } from '../../board/paths';
import { network } from '../../circuit/ac';
import { magnitude } from '../../circuit/complex';
import type { Solved } from '../../circuit/factor';
import { boardNetwork } from '../../circuit/from-board/build';
import { returnOf, toneHertz } from '../../circuit/from-board/figures';
import { basisOf, restsOnElements } from '../../circuit/from-board/rests-on';
import { needs } from '../../circuit/needs';
import type { Netlist } from '../../circuit/netlist';
import { crosstalk } from '../../circuit/return-path';
import { formatQuantity } from '../../quantity/format';
import { fixed } from '../channels/words';
import type { Check, Draft, Snapshot } from '../check';

export const returnShared: Check = {
  name: 'return-shared',
  reads: 'network',
  page: {
    meaning:
      'The two sides come back through a resistance they share: each puts a little of itself, turned over, on the other.',
    causes:
      'A ferrite or resistor in the common return; a thin trace or a worn sleeve contact, known from a zeroed reading; a long cable.',
    next: 'Play the left alone and look at the right: turned over and the same at every frequency is a shared return; rising with frequency is not.',
    source: 'Crosstalk = −Rg/(RL + Rs + Rg), from the circuit; −60 dB: common practice, no source.',
    blind:
      'Counts `dcr`, resistors and zeroed readings at the stated load; without a load, or with a value unknown, it says nothing. A reading that is not zeroed is an upper bound below 1 Ω and does not count.',
  },
  run(snapshot, told) {
    const copper = snapshot.board.at();
    const board = boardNetwork(copper);
    if (!board) return [];
    const limit = snapshot.limit('return-shared');
    const pairs = new Map<string, { left?: SignalPath; right?: SignalPath }>();
    for (const { pin, node } of outputs(copper))
      for (const path of pathsFrom(copper, pin, node)) {
        if (!path.contact || (path.carries !== 'left' && path.carries !== 'right')) continue;
        if (path.contact.part.load === undefined) continue;
        const key = path.contact.part.designator;
        const pair = pairs.get(key) ?? {};
        pair[path.carries] ??= path;
        pairs.set(key, pair);
      }
    return [...pairs].flatMap(([connector, { left, right }]): Draft[] => {
      if (!left || !right || left.from === right.from) return [];
      if (told.some(({ check, at }) => broken.has(check) && at.some((point) => point.startsWith(`${connector}.`))))
        return [];
      const extra = readOhms(snapshot, left);
      const back = returnOf(board, left);
      if (!back) return [];
      const ref = extra ? `${back.name} at the plug` : back.name;
      const read = (solved: Solved) =>
        crosstalk(solved, { source: left.from.name, at: left.end.name, ref }, { at: right.end.name, ref });
      const at = (netlist: Netlist) =>
        network(extra ? lifted(netlist, connector, back.name, ref, extra.ohms) : netlist).at(toneHertz);
      if (needs(board.netlist, (netlist) => read(at(netlist))?.re ?? null).length > 0) return [];
      const solved = at(board.netlist);
      const through = read(solved);
      if (!through || through.re >= 0) return [];
      const level = 20 * Math.log10(magnitude(through));
      if (level <= limit || Math.abs(through.im) > Math.abs(through.re)) return [];
      const joins = [...joinsAlong(copper, left), ...joinsAlong(copper, right)];
      const declared = left.contact!.part.declared;
      return [
        {
          span: declared?.keySpan ?? joins[0]?.span ?? { start: 0, end: 0 },
          message: `Left and right of ${connector} share a return: each puts ${fixed(level, 1)} dB of itself, turned over, on the other into ${formatQuantity(left.contact!.part.load!, 'Ω')}.`,
          at: [left.contact!.name, right.contact!.name],
          evidence: extra ? [extra.label] : [],
          figures: { crosstalk: level, sign: 'inverted' },
          joins,
          basis: basisOf(board, restsOnElements(solved, read), [left.contact!.name, right.contact!.name]),
        },
      ];
    });
  },
};

/** A return that is not there at all is told as that. */
const broken = new Set(['ground-split', 'sleeve-not-ground']);

/** A zeroed reading from an output's return pin to its connector's common, both on one piece of copper. */
function readOhms({ board }: Snapshot, path: SignalPath): { ohms: number; label: string } | undefined {
  const copper = board.at();
  const back = path.from.spec?.returnPin;
  const pin = back === undefined ? undefined : path.from.part.point(back);
  const connector = path.contact!.part;
  for (const reading of board.readings) {
    if (reading.kind !== 'ohms' || reading.points.length !== 2 || !reading.zeroed || !Number.isFinite(reading.value))
      continue;
    const names = reading.points.map((point) => point.ref.name);
    const common = names.some((name) =>
      connector.contacts.some((contact) => connector.duty(contact) === 'common' && connector.point(contact) === name),
    );
    if (!common || !names.includes(pin ?? '') || copper.node(names[0]!) !== copper.node(names[1]!)) continue;
    if (isCurrent(board, reading.points, reading.state)) return { ohms: reading.value, label: reading.label };
  }
  return undefined;
}

/** The ohms read in one piece of copper lie between what is plugged in and the board: the loads come back to a node of their own. */
function lifted(netlist: Netlist, connector: string, back: string, plug: string, ohms: number): Netlist {
  const elements = netlist.elements.map((element) =>
    element.kind === 'load' && element.name.startsWith(`load at ${connector}.`) && element.b === back
      ? { ...element, b: plug }
      : element,
  );
  return {
    ...netlist,
    elements: [...elements, { kind: 'resistor', name: 'return as read', a: plug, b: back, ohms }],
  };
}
