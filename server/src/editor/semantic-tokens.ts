import type { Copper } from '../board/copper';
import { isGround, isSupply, roleOf } from '../board/roles';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { mentions } from './mentions';
import { partNamed, pinOf, pointNamed } from './names';
import type { Target } from './target';

/** What a word is on the board, for its colour; which colour is the theme's. */
export const tokenTypes = [
  'ground',
  'supply',
  'audio',
  'clock',
  'control',
  'data',
  'point',
  'net',
  'part',
  'pin',
  'pinout',
  'mode',
  'state',
  'capture',
  'check',
  'word',
  'quantity',
  'key',
] as const;
export type TokenType = (typeof tokenTypes)[number];
export const tokenModifiers = ['declaration', 'left', 'right', 'unresolved'] as const;
export type TokenModifier = (typeof tokenModifiers)[number];

export interface SemanticToken {
  readonly span: Span;
  readonly type: TokenType;
  readonly modifiers: readonly TokenModifier[];
}

/** The words of a file with what they are, in the order they stand there; no two overlap, none goes over a line's end. */
export function semanticTokens(analysis: BoardAnalysis | PinoutAnalysis): SemanticToken[] {
  const tokens: SemanticToken[] = [];
  let end = 0;
  for (const target of mentions(analysis)) {
    const { span } = target;
    if (span.start < end || span.end <= span.start || /[\r\n]/.test(analysis.text.slice(span.start, span.end)))
      continue;
    const said = tokenOf(analysis, target);
    if (!said) continue;
    tokens.push({
      span,
      type: said.type,
      modifiers: [...(target.declares ? ['declaration' as const] : []), ...said.modifiers],
    });
    end = span.end;
  }
  return tokens;
}

interface Said {
  readonly type: TokenType;
  readonly modifiers: readonly TokenModifier[];
}
const plain = (type: TokenType, ...modifiers: readonly TokenModifier[]): Said => ({ type, modifiers });

function tokenOf(analysis: BoardAnalysis | PinoutAnalysis, target: Target): Said | undefined {
  const { names, text } = target;
  switch (names) {
    case 'point':
    case 'net':
      return analysis.kind === 'board' ? ofPoint(analysis, text) : undefined;
    case 'pin':
    case 'pin-name': {
      const pin = pinOf(analysis, target);
      const type = pin?.role && byRole[pin.role];
      return pin ? plain(type ?? 'pin', ...sideOf(pin.channel)) : plain('pin', 'unresolved');
    }
    case 'part':
      return plain('part');
    case 'pinout':
    case 'mode':
    case 'state':
    case 'capture':
    case 'check':
      return plain(names);
    case 'cause':
      return plain('word');
    case undefined:
      break;
    default:
      return undefined;
  }
  if (target.choice) return plain('word');
  if (target.type?.kind === 'quantity' || target.type?.kind === 'range') return plain('quantity');
  return target.key && !target.type && !isEvidence(target) ? plain('key') : undefined;
}

/** How joins are known has colours of its own in the grammar, which a key's would hide. */
const isEvidence = ({ path }: Target): boolean => path.at(-2) === 'traces' || path.at(-1) === 'cuts';

const byRole: Readonly<Record<string, TokenType>> = {
  ground: 'ground',
  chassis: 'ground',
  supply: 'supply',
  'supply-out': 'supply',
  mains: 'supply',
  reference: 'supply',
  'audio-out': 'audio',
  'audio-in': 'audio',
  clock: 'clock',
  control: 'control',
  data: 'data',
};

const sideOf = (channel: string | undefined): TokenModifier[] =>
  channel === 'left' || channel === 'right' ? [channel] : [];

/** A point goes by the role of its pin, else by what its node is. */
function ofPoint({ board }: BoardAnalysis, text: string): Said {
  if (text === 'none') return plain('word');
  const ref = pointNamed(board, text)?.ref;
  if (!ref) return plain('point', 'unresolved');
  const copper = board.at();
  const node = copper.node(ref.name);
  const net = ref.part === undefined ? board.nets.get(ref.name) : undefined;
  if (net) return plain((net.role && byRole[net.role]) || 'net', ...sideOf(net.channel));
  const pin = node?.pins.find((candidate) => candidate.name === ref.name);
  const role =
    pin && node ? roleOf(pin, node) : ref.part && ref.pin ? partNamed(board, ref.part)?.spec(ref.pin)?.role : undefined;
  const side = pin?.spec?.channel ?? (pin?.duty === 'left' || pin?.duty === 'right' ? pin.duty : undefined);
  const type = (role && byRole[role]) ?? nodeType(copper, ref.name);
  return plain(type ?? (ref.part === undefined ? 'net' : 'point'), ...sideOf(side));
}

function nodeType(copper: Copper, name: string): TokenType | undefined {
  const node = copper.node(name);
  if (!node) return undefined;
  if (isGround(node)) return 'ground';
  return isSupply(node) ? 'supply' : undefined;
}
