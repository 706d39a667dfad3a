import {
  Alias,
  isCollection,
  isMap,
  isScalar,
  parseDocument,
  type Node as YamlNode,
  type Pair as YamlPair,
} from 'yaml';
import type { Span } from '../text/span';
import type { BareKey } from './draft';
import type { Misread } from './misread';
import type { Node, Pair, ScalarNode } from './node';
import { Stretches } from './stretches';
import type { Problem } from './type';
import { sayError } from './yaml-error';

/** What a scan covered, by offset, so that the tree shows what was written. */
export interface Covered {
  readonly text: string;
  readonly misreads: ReadonlyMap<number, Misread>;
  readonly bareKeys: ReadonlyMap<number, BareKey>;
}

export interface Composed {
  readonly root: Node | null;
  readonly problems: readonly Problem[];
  /** The parser stumbled somewhere, whether or not a problem of the scan explains it. */
  readonly clean: boolean;
}

/** Repeats may make a tree this much larger than what is written: a bound on what anyone walks. */
const mostNodes = 20_000;

/**
 * Parses a scanned text, or a piece of one that starts at offset `from`, into nodes with offsets of the whole text.
 * Errors inside `known` stretches have been reported already.
 */
export function compose(masked: string, from: number, covered: Covered, known: readonly Span[]): Composed {
  const document = parseDocument(masked, {
    schema: 'failsafe',
    uniqueKeys: false,
    prettyErrors: false,
    logLevel: 'silent',
    strict: true,
  });
  const composer = new Composer(masked, from, covered);
  const root = composer.node(document.contents as YamlNode | null);
  const told = new Stretches(known.map((span) => widen(covered.text, span)));
  const problems = composer.problems.filter((problem) => !told.touch(problem.span.start));
  let last = -2;
  for (const error of document.errors) {
    const start = Math.min(from + error.pos[0], covered.text.length);
    if (told.touch(start)) continue;
    // One slip makes the parser stumble several times; the first one shows where.
    const line = covered.text.lastIndexOf('\n', start - 1);
    if (line === last) continue;
    last = line;
    const end = Math.max(start, Math.min(from + error.pos[1], covered.text.length));
    problems.push({ check: 'syntax', span: { start, end }, message: sayError(error.code) });
  }
  return { root, problems, clean: document.errors.length === 0 && composer.problems.length === 0 };
}

/** A stretch with the blanks and line ends around it, where the parser notices what went wrong inside. */
function widen(text: string, span: Span): Span {
  let { start, end } = span;
  while (start > 0 && /\s/.test(text[start - 1]!)) start--;
  while (end < text.length && /\s/.test(text[end]!)) end++;
  return { start, end };
}

class Composer {
  readonly problems: Problem[] = [];
  private readonly anchors = new Map<string, { node: Node; size: number }>();
  private total = 0;
  /** The bound on nodes has been met, and told. */
  private full = false;

  constructor(
    private readonly masked: string,
    private readonly from: number,
    private readonly covered: Covered,
  ) {}

  node(yaml: YamlNode | null): Node | null {
    if (yaml === null || yaml === undefined) return null;
    if (yaml instanceof Alias) return this.alias(yaml);
    const before = this.total;
    this.total++;
    const built = isScalar(yaml) ? this.scalar(yaml) : this.collection(yaml);
    const anchor = (yaml as { anchor?: string }).anchor;
    if (anchor && built) this.anchors.set(anchor, { node: built, size: this.total - before });
    return built;
  }

  private alias(yaml: Alias): Node | null {
    const span = this.span(yaml);
    const known = this.anchors.get(yaml.source);
    if (!known) return this.refuse(span, `Nothing above is named \`&${yaml.source}\`.`);
    if (this.total + known.size > mostNodes) {
      const first = !this.full;
      this.full = true;
      return this.refuse(span, first && 'Repeats inside repeats make this file too large to read.');
    }
    this.total += known.size;
    return { ...known.node, span, repeat: true };
  }

  private refuse(span: Span, message: string | false): ScalarNode {
    if (message) this.problems.push({ check: 'syntax', span, message });
    return { kind: 'scalar', text: '', quoted: false, span, misread: true, repeat: true };
  }

  private scalar(yaml: YamlNode & { value: unknown; type?: string }): ScalarNode | null {
    let span = this.span(yaml);
    if (span.end <= span.start) return null;
    const source = this.covered.text.slice(span.start, span.end);
    const misread = this.covered.misreads.get(span.start);
    if (misread) return { kind: 'scalar', text: misread.text, quoted: false, span: misread.span, misread: true };
    const plain = yaml.type === 'PLAIN' || yaml.type === undefined;
    const value = String(yaml.value);
    if (plain) return { kind: 'scalar', text: /[\r\n]/.test(source) ? value : source, quoted: false, span };
    if (yaml.type?.startsWith('BLOCK')) {
      span = { start: span.start, end: span.start + source.trimEnd().length };
      return { kind: 'scalar', text: value.replace(/\n+$/, ''), quoted: true, span };
    }
    return { kind: 'scalar', text: value, quoted: true, span };
  }

  private collection(yaml: YamlNode): Node | null {
    if (!isCollection(yaml)) return null;
    const whole = this.span(yaml);
    const flow = yaml.flow === true;
    if (isMap(yaml)) {
      const pairs: Pair[] = [];
      for (const item of yaml.items) {
        const pair = this.pair(item as YamlPair);
        if (pair) pairs.push(pair);
      }
      return { kind: 'map', pairs, flow, span: flow ? whole : around(whole, pairs) };
    }
    const items = (yaml.items as (YamlNode | null)[]).map((item) => this.node(item));
    return { kind: 'list', items, flow, span: flow ? whole : around(whole, items) };
  }

  private pair(yaml: YamlPair): Pair | null {
    const key = this.key(yaml.key as YamlNode);
    if (!key) return null;
    const value = this.node(yaml.value as YamlNode | null);
    const bareBlock = this.covered.bareKeys.has(key.span.start);
    const bare = bareBlock || yaml.value === null;
    const end = value && value.span.end > key.span.end ? value.span.end : this.colonEnd(key, bare);
    return { key, value, span: { start: key.span.start, end }, ...(bare && { bare: true as const }) };
  }

  private key(yaml: YamlNode): ScalarNode | null {
    const at = this.span(yaml);
    const bare = this.bareKey(at);
    if (bare) return { kind: 'scalar', text: bare.text, quoted: false, span: bare.span };
    if (isCollection(yaml)) {
      this.problems.push({ check: 'syntax', span: at, message: 'A key is a text, not a list or a map.' });
      return null;
    }
    const node = this.node(yaml);
    if (node === null) {
      this.problems.push({ check: 'syntax', span: at, message: 'A key is missing before this colon.' });
      return null;
    }
    if (node.kind !== 'scalar') {
      this.problems.push({ check: 'syntax', span: node.span, message: 'A key is a text, not a list or a map.' });
      return null;
    }
    if (node.text === '<<' && !node.quoted) {
      const message = 'Maps are not merged here: write the keys out.';
      this.problems.push({ check: 'syntax', span: node.span, message });
      return null;
    }
    return node;
  }

  /** The key without a colon that was covered here. Of one letter only the colon could be put in its place: an empty key to the parser. */
  private bareKey(at: Span): BareKey | undefined {
    const { bareKeys } = this.covered;
    if (at.end > at.start || bareKeys.size === 0) return bareKeys.get(at.start);
    const gap = /(?:\s|#[^\n]*(?=\n))*/y;
    gap.lastIndex = at.start - this.from;
    gap.exec(this.masked);
    return bareKeys.get(this.from + gap.lastIndex);
  }

  private colonEnd(key: ScalarNode, bare: boolean): number {
    if (bare) return key.span.end;
    const gap = /^\s*:/.exec(this.covered.text.slice(key.span.end, key.span.end + 100));
    return key.span.end + (gap ? gap[0].length : 0);
  }

  private span(yaml: YamlNode): Span {
    const [start, end] = yaml.range ?? [0, 0];
    const limit = this.covered.text.length;
    return { start: Math.min(this.from + start, limit), end: Math.min(this.from + end, limit) };
  }
}

/** From the first to the last of what a block holds: the parser counts the line ends behind it too. */
function around(whole: Span, parts: readonly ({ readonly span: Span } | null)[]): Span {
  let end = whole.start;
  let start = whole.end;
  for (const part of parts) {
    if (!part) continue;
    start = Math.min(start, part.span.start);
    end = Math.max(end, part.span.end);
  }
  return end > start ? { start: Math.min(whole.start, start), end } : { start: whole.start, end: whole.start };
}
