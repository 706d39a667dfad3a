import { kindOfDesignator } from '../board/designator';
import { foldPinName } from '../board/pin-roles';
import type { Edit } from '../text/finding';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { type Entity, entityAt, type Occurrence, occurrences } from './mentions';
import { pinOf, pinoutAround } from './names';
import { targetAt } from './target';

type Readable = BoardAnalysis | PinoutAnalysis;

/** What a rename would replace; or why nothing here can be renamed. */
export type RenameStart = { readonly span: Span; readonly name: string } | { readonly problem: string };
export type Rename = { readonly edits: readonly Edit[] } | { readonly problem: string };

const nothing = 'Put the cursor on a part, a net, a capture, a rework, a pin name, a mode or a pinout.';

/** Whether the thing at an offset has a name of the writer's own, and its extent. */
export function prepareRename(analysis: Readable, offset: number): RenameStart {
  const start = startAt(analysis, offset);
  if ('problem' in start) return start;
  const { span } = start.entity;
  return { span, name: analysis.text.slice(span.start, span.end) };
}

/**
 * Gives the thing at an offset a new name, wherever the files given name it. Pins of a pinout are renamed in it and on every board among
 * `others`; points that go by the pin's number keep it.
 */
export function rename(analysis: Readable, offset: number, name: string, others: readonly Readable[] = []): Rename {
  const start = startAt(analysis, offset);
  if ('problem' in start) return start;
  const { entity } = start;
  const files = [analysis, ...others.filter((other) => other.uri !== analysis.uri)];
  const wanted = name.trim();
  const home = entity.id.split(' ')[0];
  if (!files.some((file) => file.uri === home))
    return { problem: 'The file that gives this name is not at hand: open it first.' };
  const problem = unfit(wanted, entity, files);
  if (problem) return { problem };
  const old = foldPinName(start.old);
  const places = occurrences(files, entity).filter((place) => entity.kind !== 'pin' || foldPinName(place.text) === old);
  return { edits: places.map((place) => ({ file: place.file, span: place.span, text: wanted })) };
}

type Start = { readonly entity: Entity; readonly old: string } | { readonly problem: string };

function startAt(analysis: Readable, offset: number): Start {
  const target = targetAt(analysis, offset);
  const entity = target && entityAt(analysis, target, offset);
  if (!entity || entity.kind === 'check') return { problem: nothing };
  const old = analysis.text.slice(entity.span.start, entity.span.end);
  if (entity.kind === 'state' && old === 'as-found')
    return { problem: 'as-found is the board before any rework: it is called that everywhere.' };
  if (entity.kind === 'pin') {
    const named = /[A-Za-z]/.test(old) && occurrences([analysis], entity).length > 0;
    if (!named || isNumberOf(analysis, old, entity, offset))
      return { problem: 'A pin goes by its number on the package; only its name can be changed.' };
  }
  return { entity, old };
}

/** Grid names and contacts look like names, and are numbers all the same. */
function isNumberOf(analysis: Readable, text: string, { id }: Entity, offset: number): boolean {
  const target = targetAt(analysis, offset)!;
  const spec = target.names === 'point' ? undefined : pinOf(analysis, target);
  if (spec) return spec.name === undefined || foldPinName(spec.name) !== foldPinName(text);
  return id.endsWith(`.${text}`) || /^(tip|ring|sleeve|[+-]|EP)$/i.test(text);
}

/** Why a name will not do; undefined where it will. */
function unfit(name: string, entity: Entity, files: readonly Readable[]): string | undefined {
  if (name === '') return 'A name cannot be empty.';
  if (/[\s,[\]{}#:"'`&*!|>%@]/.test(name))
    return `${name} holds a character that has a meaning of its own in the file.`;
  if (entity.kind === 'part' && (name.includes('.') || kindOfDesignator(name) === undefined))
    return `${name} is no designator: class letters and a number, such as R12.`;
  if (entity.kind === 'net' && kindOfDesignator(name.split('.')[0]!) !== undefined)
    return `${name} would be read as a part or a pin of one.`;
  if (entity.kind === 'pin' && /^\d+$/.test(name)) return 'A number would be read as a pin number.';
  const taken = sameKind(name, entity, files);
  return taken ? `There is ${taken} called ${name} already.` : undefined;
}

/** Whether another thing of the kind has the name. */
function sameKind(name: string, entity: Entity, files: readonly Readable[]): string | undefined {
  if (entity.kind === 'pin') {
    const own = files.flatMap((file) => occurrences([file], entity).map((place) => ({ file, place })));
    const pinouts = own.map(({ file, place }) => pinoutAround(file, place.target.path));
    const clash = pinouts.some((pinout) =>
      [...(pinout?.pins.values() ?? [])].some(
        (pin) =>
          !entity.id.endsWith(`.${pin.key}`) &&
          [pin.name, pin.key, ...pin.alternates].some(
            (one) => one !== undefined && foldPinName(one) === foldPinName(name),
          ),
      ),
    );
    return clash ? 'a pin' : undefined;
  }
  const id = entity.kind === 'pinout' ? undefined : entity.id.replace(/ \S*$/, ` ${name}`);
  for (const file of files) {
    if (id === undefined) {
      if (file.kind === 'pinout' && file.uri !== entity.id && file.pinout?.name.toLowerCase() === name.toLowerCase())
        return 'a pinout';
      continue;
    }
    const hit: Occurrence[] = occurrences([file], { ...entity, id });
    if (hit.length > 0) return `a ${entity.kind}`;
    if (
      entity.kind === 'net' &&
      file.kind === 'board' &&
      file.board.nets.has(name) &&
      file.uri === entity.id.split(' ')[0]
    )
      return 'a net';
  }
  return undefined;
}
