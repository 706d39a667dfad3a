import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { mentions } from './mentions';
import { pinoutNamed } from './names';

/** A stretch of text that opens something. `path` is relative to the file, or an address; `file` names a file in full. */
export interface DocumentLink {
  readonly span: Span;
  readonly path?: string;
  readonly file?: string;
  readonly tooltip: string;
}

/** Recordings, pinouts, and the data sheet at its page. Addresses other than web ones are left alone. */
export function documentLinks(analysis: BoardAnalysis | PinoutAnalysis): DocumentLink[] {
  const links = mentions(analysis).flatMap((target): DocumentLink[] => {
    const { names, span, text, declares } = target;
    if (text === '' || declares) return [];
    if (names === 'capture-file') return safe(text) ? [{ span, path: text, tooltip: 'Open the recording' }] : [];
    if (names === 'pinout-file' && !/[*?]/.test(text))
      return safe(text) ? [{ span, path: text, tooltip: 'Open the pinout' }] : [];
    if (names !== 'pinout' || analysis.kind !== 'board') return [];
    const pinout = pinoutNamed(analysis.board, text);
    return pinout ? [{ span, file: pinout.file, tooltip: `Open the pinout ${pinout.name}` }] : [];
  });
  return analysis.kind === 'pinout' ? [...links, ...sheet(analysis)] : links;
}

/** The data sheet, at the page that is given: `#page=` is how viewers of PDF take it (RFC 8118). */
function sheet({ parsed }: PinoutAnalysis): DocumentLink[] {
  const source = parsed.value.value?.source?.value;
  const link = source?.link?.value?.trim();
  if (!source?.link || !link || !safe(link)) return [];
  const page = source.page?.value;
  const path = page !== undefined && /\.pdf$/i.test(link) ? `${link}#page=${page}` : link;
  return [
    {
      span: source.link.span,
      path,
      tooltip: page === undefined ? 'Open the data sheet' : `Open the data sheet at page ${page}`,
    },
  ];
}

/** A path, or a web address: a board from a stranger must not start anything else. */
const safe = (text: string): boolean => !/^[a-z][a-z0-9+.-]+:/i.test(text) || /^https?:\/\//i.test(text);
