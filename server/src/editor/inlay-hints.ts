import { outputs, pathsFrom } from '../board/paths';
import { recorded } from '../checks/recordings';
import { boardNetwork } from '../circuit/from-board/build';
import { pathFigures } from '../circuit/from-board/figures';
import type { PinEntry } from '../dialect/pinout-file';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { valueText } from './describe/part';
import { inUnit, knownText, levelText } from './describe/quantities';
import { mentions } from './mentions';
import { pinoutAround, pointNamed } from './names';

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
      ? roleHints(analysis)
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

type PinEntries = readonly { readonly key: { readonly text: string }; readonly value: PinEntry }[];

/** The role that follows from a pin's name, behind the name. */
function rolesOf(analysis: BoardAnalysis | PinoutAnalysis, entries: PinEntries, path: readonly string[]): InlayHint[] {
  const pinout = pinoutAround(analysis, path);
  return entries.flatMap(({ key, value }): InlayHint[] => {
    const spec = pinout?.pins.get(key.text.trim().toUpperCase());
    const name = value.scalar ?? value.map?.value?.name;
    if (!spec?.role || spec.roleStated || !name) return [];
    const side = spec.channel && !value.map?.value?.channel ? `, ${spec.channel}` : '';
    return [
      {
        offset: name.span.end,
        label: `${spec.role}${side}`,
        kind: 'role',
        tooltip: 'Read from the name; write `role` to say otherwise.',
      },
    ];
  });
}

const roleHints = (analysis: PinoutAnalysis): InlayHint[] =>
  rolesOf(analysis, analysis.parsed.value.value?.pins?.value ?? [], ['pins']);

const inlineRoles = (analysis: BoardAnalysis): InlayHint[] =>
  (analysis.parsed.value.value?.parts?.value ?? []).flatMap((part) =>
    rolesOf(analysis, part.value.map?.value?.pins?.map?.value ?? [], ['parts', part.key.text, 'pins']),
  );

/** The data sheet's name behind a pin that goes by its number, in joins alone: elsewhere it would be noise. */
function pinHints(analysis: BoardAnalysis): InlayHint[] {
  const copper = analysis.board.at();
  return mentions(analysis).flatMap((target): InlayHint[] => {
    if (target.names !== 'point' || target.path[0] !== 'traces') return [];
    const ref = pointNamed(analysis.board, target.text)?.ref;
    const spec =
      ref?.part === undefined || ref.pin === undefined ? undefined : copper.parts.get(ref.part)?.spec(ref.pin);
    if (!spec?.name || spec.name === spec.key || !target.text.endsWith(`.${spec.key}`)) return [];
    return [{ offset: target.span.end, label: spec.name, kind: 'pin', tooltip: spec.role ?? 'role unknown' }];
  });
}

/** What a printed code comes to. */
function valueHints({ board, parsed }: BoardAnalysis): InlayHint[] {
  return (parsed.value.value?.parts?.value ?? []).flatMap((entry): InlayHint[] => {
    const map = entry.value.map?.value;
    const part = board.at().parts.get(entry.key.text);
    const value = part && valueText(part);
    if (!map?.code || map.value || value === undefined) return [];
    return [{ offset: map.code.span.end, label: value, kind: 'value', tooltip: 'What the code printed on it says.' }];
  });
}

/** Behind a net that an output reaches: the corner of its way, and the level of a full-scale tone; the divider in the tooltip. */
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
        const loss = 'figure' in figures.loss ? ` The way there costs ${knownText(figures.loss)}.` : '';
        const label = `${knownText(figures.level)} RMS at 0 dBFS`;
        hints.push({ offset: net.span.end, label, kind: 'level', tooltip: tooltip + loss });
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
