import type { Board } from '../../board/board';
import { kindOfDesignator } from '../../board/designator';
import type { Context } from '../../dialect/context';
import { listForm, mapForm, scalarForm } from '../../dialect/step';
import type { EntriesType, Keys, RecordType, Type } from '../../dialect/type';
import { documentation } from '../describe/key';
import { pinoutAround } from '../names';
import { type Offer, type Place, scalar } from './item';
import { partDetail, probeOffers, undeclaredNets } from './points';

/** Keys of the map at the cursor that it does not have yet. */
export function keyOffers(place: Place): Offer[] {
  const { keys, used } = place.context;
  if (!keys) return [];
  return keys.kind === 'record'
    ? recordOffers(keys, place)
    : entryOffers(keys, place).filter((offer) => !used.includes(offer.label));
}

function recordOffers(type: RecordType, place: Place): Offer[] {
  const { context, analysis } = place;
  const keys: Keys = type.keys;
  const own = Object.entries(keys)
    .filter(([name]) => !context.used.includes(name))
    .map(
      ([name, key], index): Offer => ({
        label: name,
        kind: 'key',
        ...written(name, key.type, place),
        detail: key.required ? 'must be there' : undefined,
        documentation: documentation(key),
        rank: key.required ? -1 : type.other ? 10 + index : index,
      }),
    );
  if (!type.other || analysis.kind !== 'board' || context.used.length > 0) return own;
  // A reading's short form: points, and the number behind the colon.
  const points = probeOffers(analysis, context.prefix, []);
  const typed = /\s/.test(context.prefix) || context.colon;
  return [...points.map((offer) => (typed || offer.again ? offer : { ...offer, write: `${offer.write}: ` })), ...own];
}

/** A key with what opens its value: a space, or a new line where only a list or map may follow. */
function written(name: string, type: Type, { context, indent }: Place): Pick<Offer, 'write' | 'snippet' | 'again'> {
  if (context.colon) return { write: name };
  const again = { again: true as const };
  if (scalarForm(type)) return { write: `${name}: `, ...(offersValues(type) && again) };
  const list = listForm(type);
  const inLine = list?.kind === 'words' || list?.kind === 'range';
  if (context.flow || inLine) {
    const [open, close] = list ? '[]' : '{}';
    return { write: `${name}: ${open}$0${close}`, snippet: true, ...again };
  }
  return { write: `${name}:\n${indent}  ${list ? '- ' : ''}`, ...again };
}

/** Whether completion has values to offer at a type. */
function offersValues(type: Type): boolean {
  const form = scalarForm(type);
  return (
    form?.kind === 'choice' ||
    form?.kind === 'flag' ||
    form?.kind === 'words' ||
    (form?.kind === 'text' && form.names !== undefined)
  );
}

function entryOffers(type: EntriesType, place: Place): Offer[] {
  const { context } = place;
  const open = (name: string): Pick<Offer, 'write' | 'snippet' | 'again'> => {
    const safe = scalar(name, context);
    if (context.colon) return { write: safe };
    if (scalarForm(type.of)) return { write: `${safe}: ` };
    if (mapForm(type.of)?.kind === 'record' && (context.flow || type.keyNames !== 'capture'))
      return { write: `${safe.replaceAll('$', '\\$')}: {$0}`, snippet: true, again: true };
    return { write: `${safe}:\n${place.indent}  `, again: true };
  };
  if (type.keyChoices)
    return type.keyChoices.map(({ name, doc }) => ({ label: name, kind: 'check', detail: doc, ...open(name) }));
  return names(type, place).map(({ name, detail }, index) => ({
    label: name,
    kind: 'name',
    detail,
    rank: index,
    ...open(name),
  }));
}

interface Name {
  readonly name: string;
  readonly detail: string;
}

/** Names that are likely wanted next as keys of a map whose keys the writer chooses. */
function names(type: EntriesType, place: Place): Name[] {
  const { analysis, context } = place;
  const above = context.path.at(-1);
  if (above === 'pins') return nextPins(place);
  if (type.keyNames === 'pin-name')
    return [...(pinoutAround(analysis, context.path)?.pins.values() ?? [])]
      .filter((pin) => pin.role === 'audio-out')
      .map((pin) => ({ name: pin.name ?? pin.key, detail: `pin ${pin.key}` }));
  if (above === 'modes') return ['stereo', 'differential', 'mono'].map((name) => ({ name, detail: 'output mode' }));
  if (analysis.kind !== 'board') return [];
  switch (type.keyNames) {
    case 'part':
      return [...undeclaredParts(analysis.board), ...freeDesignators(analysis.board)];
    case 'net':
      return undeclaredNets(analysis.board).map((name) => ({ name, detail: 'net met in joins' }));
    case 'capture':
      return captureNames.map((name) => ({ name, detail: 'recording' }));
    case 'channel':
      return channelNames(place).map((name) => ({ name, detail: 'channel' }));
    default:
      return [];
  }
}

const captureNames = ['tone-left', 'tone-right', 'tone-both', 'noise-unlike', 'silence', 'all-in-one'];

/** Parts that joins name and `parts` does not list. */
const undeclaredParts = (board: Board): Name[] =>
  [...board.at().parts.values()]
    .filter((part) => !part.declared)
    .map((part) => ({ name: part.designator, detail: `${partDetail(part)}, met in joins` }));

/** The next free number of each class of designators the board has, then of the common ones it has not. */
function freeDesignators(board: Board): Name[] {
  const highest = new Map<string, number>();
  for (const designator of board.at().parts.keys()) {
    const match = /^([A-Za-z]+)(\d+)$/.exec(designator);
    if (match) highest.set(match[1]!, Math.max(highest.get(match[1]!) ?? 0, Number(match[2])));
  }
  for (const letters of ['U', 'R', 'C', 'L', 'FB', 'D', 'Q', 'J', 'Y', 'F', 'SW', 'BT', 'LS', 'TP'])
    if (!highest.has(letters)) highest.set(letters, 0);
  return [...highest].flatMap(([letters, number]) => {
    const name = `${letters}${number + 1}`;
    const kind = kindOfDesignator(name);
    return kind ? [{ name, detail: `next ${kind}` }] : [];
  });
}

/** Pin numbers not described yet, up to the package's count. */
function nextPins({ analysis, context }: Place): Name[] {
  const pinout = pinoutAround(analysis, context.path);
  const used = new Set(context.used);
  const numbers = context.used.map(Number).filter(Number.isInteger);
  const count = pinout?.pinCount ?? Math.max(0, ...numbers) + 1;
  const free = Array.from({ length: Math.min(count, 200) }, (_, index) => String(index + 1)).filter(
    (pin) => !used.has(pin),
  );
  return free.slice(0, 40).map((name) => ({ name, detail: 'pin' }));
}

/** Channels of the recording the cursor is in. */
function channelNames({ analysis, context, around }: Place): readonly string[] {
  if (analysis.kind !== 'board') return [];
  const capture = analysis.board.captures.find((one) => one.name === captureAt(context));
  const known = capture?.file && around.channels?.(capture.file.path);
  return known ?? ['1', '2'];
}

const captureAt = ({ path }: Context): string | undefined =>
  path[0] === 'captures' && path.length > 1 ? String(path[1]) : undefined;
