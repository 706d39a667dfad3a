import type { Part } from '../board/part';
import { outputs, pathsFrom } from '../board/paths';
import { recorded } from '../checks/recordings';
import { boardNetwork } from '../circuit/from-board/build';
import { pathFigures } from '../circuit/from-board/figures';
import { clipText } from '../circuit/from-board/place-figures';
import type { PartEntry } from '../dialect/board-file';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { valueText } from './describe/part';
import { inUnit, knownText, levelText } from './describe/quantities';
import { keysBehind } from './hints/explicit';
import { roleHints } from './hints/pinouts';
import { mentions } from './mentions';
import { nameOfOne, pointNamed, spelling } from './names';

/** What is worked out and not written, shown between what is. Each kind can be switched off. */
export type HintKind = 'role' | 'pin' | 'value' | 'corner' | 'level' | 'dc';

export interface InlayHint {
  readonly offset: number;
  readonly label: string;
  readonly kind: HintKind;
  /** Plain text: what the label rests on. */
  readonly tooltip?: string;
  /** Text that makes the hint part of the file, where it can be. */
  readonly edit?: { readonly span: Span; readonly text: string };
}

export const hintKinds: readonly HintKind[] = ['role', 'pin', 'value', 'corner', 'level', 'dc'];

/** The hints that lie in a stretch of a file, in the order they stand there. */
export function inlayHints(
  analysis: BoardAnalysis | PinoutAnalysis,
  within: Span = { start: 0, end: analysis.text.length },
  kinds: ReadonlySet<HintKind> = new Set(hintKinds),
): InlayHint[] {
  const all =
    analysis.kind === 'pinout'
      ? roleHints(analysis.text, analysis.pinout, analysis.parsed.value.value?.pins?.value ?? [])
      : [
          ...inlineRoles(analysis),
          ...pinHints(analysis),
          ...valueHints(analysis),
          ...netHints(analysis),
          ...captureHints(analysis),
        ];
  return all
    .filter((hint) => kinds.has(hint.kind) && within.start <= hint.offset && hint.offset <= within.end)
    .sort((a, b) => a.offset - b.offset);
}

/** The parts a board lists, each as it is in the state it is listed for. */
function listed({ board, parsed }: BoardAnalysis): { readonly part: Part; readonly entry: PartEntry }[] {
  const map = parsed.value.value;
  const lists = [map?.parts, ...(map?.reworks?.value ?? []).map((rework) => rework.value?.parts)];
  return lists.flatMap((list, index) => {
    const { parts } = board.at(board.states[index]);
    return (list?.value ?? []).flatMap(({ key, value: entry }) => {
      const part = parts.get(key.text);
      return part ? [{ part, entry }] : [];
    });
  });
}

const inlineRoles = (analysis: BoardAnalysis): InlayHint[] =>
  listed(analysis).flatMap(({ part, entry }) =>
    part.pinout?.inline ? roleHints(analysis.text, part.pinout, entry.map?.value?.pins?.map?.value ?? []) : [],
  );

/** The data sheet's name behind a pin that goes by its number, in joins alone: elsewhere it would be noise. */
function pinHints(analysis: BoardAnalysis): InlayHint[] {
  const { board } = analysis;
  return mentions(analysis).flatMap(({ names, path, text, span }): InlayHint[] => {
    if (names !== 'point') return [];
    const rework = path[0] === 'reworks' && typeof path[1] === 'number' ? path[1] + 1 : undefined;
    if (path[0] !== 'traces' && (rework === undefined || (path[2] !== 'traces' && path[2] !== 'cuts'))) return [];
    const ref = pointNamed(board, text)?.ref;
    if (ref?.part === undefined || ref.pin === undefined) return [];
    const part = board.at(board.states[rework ?? 0]).parts.get(ref.part);
    const spec = part?.spec(ref.pin);
    if (!part?.pinout || !spec?.name || spec.name === spec.key || !text.endsWith(`.${spec.key}`)) return [];
    const number = { start: span.end - spec.key.length, end: span.end };
    const edit = nameOfOne(part.pinout, spec) && { edit: { span: number, text: spec.name } };
    return [{ offset: span.end, label: spec.name, kind: 'pin', tooltip: spec.role ?? 'role unknown', ...edit }];
  });
}

/** What a printed code comes to. */
function valueHints(analysis: BoardAnalysis): InlayHint[] {
  const all = listed(analysis);
  return all.flatMap(({ part, entry }): InlayHint[] => {
    const map = entry.map?.value;
    const value = valueText(part);
    if (!map?.code || map.value || value === undefined) return [];
    // A rework that gives another code would leave this value beside it.
    const again = all.filter((other) => other.part.designator === part.designator).length > 1;
    const edit = again ? undefined : keysBehind(analysis.text, entry.map!, 'code', map.code.span, { value });
    const tooltip = 'What the code printed on it says.';
    return [{ offset: map.code.span.end, label: value, kind: 'value', tooltip, ...(edit && { edit }) }];
  });
}

/** Behind a net that an output reaches: the corner of its way, the level of a full-scale tone, and what its divider costs. */
function netHints({ board }: BoardAnalysis): InlayHint[] {
  const copper = board.at();
  const network = boardNetwork(copper);
  if (!network) return [];
  const told = new Set<string>();
  return outputs(copper)
    .flatMap(({ pin, node }) => pathsFrom(copper, pin, node))
    .flatMap((path): InlayHint[] => {
      const net = path.end.nets[0];
      if (!net || told.has(net.name)) return [];
      const figures = pathFigures(network, path);
      if (!figures) return [];
      told.add(net.name);
      const tooltip = `From ${path.from.name}, at 997 Hz, with what is plugged in.`;
      const hints: InlayHint[] = [];
      if (figures.corner && 'figure' in figures.corner)
        hints.push({ offset: net.span.end, label: `−3 dB at ${knownText(figures.corner)}`, kind: 'corner', tooltip });
      if ('figure' in figures.level) {
        const label = `${knownText(figures.level)} RMS at 0 dBFS`;
        hints.push({ offset: net.span.end, label, kind: 'level', tooltip });
      }
      if ('clips' in figures.level) {
        const [label, why] = clipText(figures.level).split(': ');
        hints.push({ offset: net.span.end, label: label!, kind: 'level', tooltip: `${tooltip} ${why}.` });
      }
      // A way that costs nothing worth telling is no divider.
      if ('figure' in figures.loss && Math.abs(figures.loss.figure.value) >= 0.1) {
        const label = `${knownText(figures.loss)} from ${spelling(copper, path.from.name)}`;
        hints.push({ offset: net.span.end, label, kind: 'level', tooltip });
      }
      return hints;
    });
}

/** Behind a channel of a recording: what it measured. */
function captureHints({ snapshot }: BoardAnalysis): InlayHint[] {
  return recorded(snapshot).flatMap((shown) =>
    shown.label.includes(',')
      ? []
      : shown.channels.flatMap(({ channel, figures }): InlayHint[] => {
          const at = channel.span.end;
          const tooltip = `${shown.label}, ${shown.played}`;
          const level: InlayHint = { offset: at, label: levelText(figures), kind: 'level', tooltip };
          if (shown.capture.coupling === 'ac') return [level];
          return [level, { offset: at, label: `DC ${inUnit(figures.dc, figures)}`, kind: 'dc', tooltip }];
        }),
  );
}
