import { nearest } from '../dialect/nearest';
import type { Problem, Word } from '../dialect/type';
import type { PointRef, WrittenPoint } from './copper';
import { splitPoint } from './designator';
import type { Part } from './part';

/**
 * Turns words into points. A name under `nets` is a net; else it is PART.PIN if what precedes its first dot is class letters and
 * a number, or a key of `parts`; else a net.
 */
export class Resolver {
  readonly points = new Map<string, PointRef>();
  /** Parts of which some pin was named that could not be found: nothing is concluded from what is missing on them. */
  readonly doubtfulParts = new Set<string>();

  constructor(
    private readonly declaredNets: ReadonlySet<string>,
    /** The part of a designator; makes one for a part met only in joins. */
    private readonly part: (designator: string) => Part | undefined,
    private readonly problems: Problem[],
  ) {}

  /** The point a word names; undefined, with a problem noted, where it names none. */
  resolve(word: Word): WrittenPoint | undefined {
    const text = word.text;
    if (!this.declaredNets.has(text)) {
      const split = splitPoint(text);
      const part = split && this.part(split.part);
      if (split && part) return this.pin(word, part, split.pin);
      const alone = this.part(text);
      if (alone) {
        const pins = alone.knownPins();
        if (alone.kind === 'test-point' || alone.kind === 'antenna')
          return this.written(word, alone.designator, alone.designator, '1');
        // A designator without its pin is a line still being typed, or a slip: it names no point.
        this.note(word, 'unknown-reference', `${text} is a part: say which pin, as in ${text}.${pins[0] ?? '1'}.`, []);
        this.doubtfulParts.add(alone.designator);
        return undefined;
      }
    }
    return this.written(word, text, undefined, undefined);
  }

  private pin(word: Word, part: Part, pin: string): WrittenPoint | undefined {
    if (pin === '') {
      // `U1.`: still being typed.
      this.doubtfulParts.add(part.designator);
      this.note(word, 'unknown-reference', `Say which pin of ${part.designator}.`, []);
      return undefined;
    }
    const found = part.find(pin);
    if ('key' in found) return this.written(word, part.point(found.key), part.designator, found.key);
    this.doubtfulParts.add(part.designator);
    const offset = word.text.length - pin.length;
    const aligned = word.span.end - word.span.start === word.text.length;
    const span = aligned ? { start: word.span.start + offset, end: word.span.end } : word.span;
    const near = nearest(pin, found.known);
    this.problems.push({
      check: found.check,
      span: word.span,
      message: near === undefined ? found.message : `${found.message} Did you mean ${near}?`,
      ...(near !== undefined &&
        aligned && {
          fixes: [{ title: `Write ${part.designator}.${near}`, edits: [{ span, text: near }], safe: false }],
        }),
    });
    return undefined;
  }

  private written(word: Word, name: string, part: string | undefined, pin: string | undefined): WrittenPoint {
    let ref = this.points.get(name);
    if (!ref) {
      ref = { name, part, pin };
      this.points.set(name, ref);
    }
    return { ref, text: word.text, span: word.span };
  }

  private note(word: Word, check: string, message: string, fixes: Problem['fixes'] & object): void {
    this.problems.push({ check, span: word.span, message, ...(fixes.length > 0 && { fixes }) });
  }
}
