import { buildPinout, type Pinout } from '../board/pinout';
import type { BoardFile } from '../dialect/board-file';
import { type Parsed, parsePinout } from '../dialect/parse';
import type { PinoutFile } from '../dialect/pinout-file';
import type { Problem } from '../dialect/type';
import { compareText } from '../text/finding';
import { folderOf, pinoutSuffixes, resolveUri } from './files';
import type { Texts } from './texts';

export interface PinoutInFile {
  readonly uri: string;
  readonly text: string;
  readonly parsed: Parsed<PinoutFile>;
  readonly pinout: Pinout | undefined;
}

/** Pinout files: found, read and kept by content, so that an unchanged one is never read twice. */
export class Pinouts {
  private readonly known = new Map<string, PinoutInFile>();

  constructor(private readonly texts: Texts) {}

  /** The pinout in a file; undefined where the file cannot be read. */
  async read(uri: string): Promise<PinoutInFile | undefined> {
    const text = await this.texts.read(uri);
    if (!('text' in text)) return undefined;
    const before = this.known.get(uri);
    if (before?.text === text.text) return before;
    const parsed = parsePinout(text.text);
    const now = { uri, text: text.text, parsed, pinout: buildPinout(parsed.value, uri) };
    this.known.set(uri, now);
    return now;
  }

  /** The text of a file that has been read; empty where it has not. */
  textOf(uri: string): string {
    return this.known.get(uri)?.text ?? '';
  }

  /**
   * Pinouts in reach of a board, by name in lower case: those its `pinouts` lists, else all beside it and in the folders given.
   * Of two with one name the nearer wins: beside the board before elsewhere, then by path.
   */
  async inReach(
    boardUri: string,
    board: BoardFile | undefined,
    folders: readonly string[],
  ): Promise<{ readonly pinouts: ReadonlyMap<string, Pinout>; readonly problems: readonly Problem[] }> {
    const problems: Problem[] = [];
    const uris = new Set<string>();
    const listed = board?.value?.pinouts;
    const home = folderOf(boardUri);
    if (listed?.value) {
      for (const entry of listed.value) {
        const pattern = entry.value?.trim();
        if (!pattern) continue;
        const hits = await this.matching(home, pattern);
        if (hits.length === 0)
          problems.push({
            check: 'missing-file',
            span: entry.span,
            message: /[*?]/.test(pattern) ? `No pinout file matches ${pattern}.` : `There is no file ${pattern}.`,
          });
        for (const hit of hits) {
          uris.add(hit);
          const text = await this.texts.read(hit);
          if ('check' in text)
            problems.push({ check: text.check, span: entry.span, message: `${pattern}: ${text.message}` });
        }
      }
    } else {
      for (const folder of new Set([home, ...folders]))
        for (const uri of await this.texts.find(folder, pinoutSuffixes)) uris.add(uri);
    }
    const near = (uri: string) => (folderOf(uri) === home ? 0 : uri.startsWith(home) ? 1 : 2);
    const ordered = [...uris].sort((a, b) => near(a) - near(b) || compareText(a, b));
    const pinouts = new Map<string, Pinout>();
    for (const uri of ordered) {
      const found = (await this.read(uri))?.pinout;
      if (found && !pinouts.has(found.name.toLowerCase())) pinouts.set(found.name.toLowerCase(), found);
    }
    return { pinouts, problems };
  }

  private async matching(home: string, pattern: string): Promise<string[]> {
    if (!/[*?]/.test(pattern)) {
      const uri = resolveUri(home, pattern);
      return (await this.texts.exists(uri)) ? [uri] : [];
    }
    const fixed = pattern.slice(0, pattern.search(/[*?]/));
    const from = resolveUri(home, fixed.slice(0, fixed.lastIndexOf('/') + 1) || './');
    const shape = globPattern(home, pattern);
    return (await this.texts.find(from, pinoutSuffixes)).filter((uri) => shape.test(decodeURI(uri)));
  }
}

/** A glob below a folder as a pattern on decoded URIs: `*` within a segment, `**` across, `?` one character. */
function globPattern(home: string, glob: string): RegExp {
  const base = decodeURI(home);
  const clean = glob.replace(/^\.\//, '');
  let top = base;
  let rest = clean;
  while (rest.startsWith('../')) {
    rest = rest.slice(3);
    top = top.replace(/[^/]+\/$/, '');
  }
  const source = rest
    .split(/(\*\*\/|\*\*|\*|\?)/)
    .map((piece) =>
      piece === '**/'
        ? '(?:.*/)?'
        : piece === '**'
          ? '.*'
          : piece === '*'
            ? '[^/]*'
            : piece === '?'
              ? '[^/]'
              : literal(piece),
    )
    .join('');
  return new RegExp(`^${literal(top)}${source}$`);
}

const literal = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
