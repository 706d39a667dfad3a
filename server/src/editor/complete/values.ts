import { kindOfDesignator } from '../../board/designator';
import { valueDimension } from '../../board/part';
import { scalarForm } from '../../dialect/step';
import type { Choice, Names, QuantityType, RangeType, TextType, WordsType } from '../../dialect/type';
import { styles } from '../../dialect/words';
import { type Dimension, dimensions, prefixes } from '../../quantity/dimension';
import { describeCheck } from '../describe/key';
import { describePinout } from '../describe/part';
import { partAround, partNamed, pinoutAround } from '../names';
import { type Offer, type Place, scalar } from './item';
import { netOffers, partDetail, pointOffers, probeOffers } from './points';

/** What may be written as a value at the cursor. */
export function valueOffers(place: Place): Offer[] {
  const type = scalarForm(place.context.value);
  switch (type?.kind) {
    case 'choice':
      return choiceOffers(type.choices, place);
    case 'flag':
      return ['yes', 'no'].map((word) => ({ label: word, kind: 'word', write: word }));
    case 'quantity':
    case 'range':
      return unitOffers(type, place.context.prefix);
    case 'text':
      return textOffers(type, place);
    case 'words':
      return wordOffers(type, place);
    default:
      return [];
  }
}

const choiceOffers = (choices: readonly Choice[], { context }: Place): Offer[] =>
  choices
    .filter((choice) => !isListItem(context.path) || !context.used.includes(choice.name))
    .map(({ name, doc }) => ({
      label: name,
      kind: 'word',
      write: scalar(name, context),
      ...(context.path.at(-1) === 'check'
        ? { detail: doc, documentation: describeCheck(name) }
        : { documentation: doc, detail: doc.length > 60 ? undefined : doc }),
    }));

const isListItem = (path: Place['context']['path']): boolean => typeof path.at(-1) === 'number';

/** Units behind a number: the prefixes in use with the key's dimensions, each with the number written out. */
function unitOffers(type: QuantityType | RangeType, prefix: string): Offer[] {
  const number = /^[-+−]?\d+([.,]\d*)?/.exec(prefix)?.[0];
  return type.dimensions.flatMap((dimension: Dimension) => {
    const entry = dimensions[dimension];
    if (number === undefined)
      return [{ label: entry.example, kind: 'unit' as const, write: entry.example, detail: entry.name }];
    const units =
      dimension === 'level'
        ? entry.spellings
        : [...entry.prefixes].sort((a, b) => prefixes[a]! - prefixes[b]!).map((one) => one + entry.base);
    return units.map((unit): Offer => {
      const write = `${number} ${typed(unit)}`;
      return {
        label: `${number} ${unit}`,
        kind: 'unit',
        write,
        filter: `${number} ${typed(unit)}`,
        detail: entry.name,
      };
    });
  });
}

/** Units are written with what a keyboard has. */
const typed = (unit: string): string => unit.replace('µ', 'u').replace('Ω', 'ohm');

function textOffers(type: TextType, place: Place): Offer[] {
  if (type.names) return nameOffers(type.names, place);
  const { path } = place.context;
  if (place.analysis.kind !== 'board' || path.at(-2) !== 'parts') return [];
  // The short form of a part: what its letters say it is.
  const designator = String(path.at(-1));
  const own = (type.words ?? []).map(
    ({ name, doc }): Offer => ({ label: name, kind: 'word', write: name, detail: doc, rank: 9 }),
  );
  const kind = partNamed(place.analysis.board, designator)?.kind ?? kindOfDesignator(designator);
  if (kind === 'connector') return [...choiceOffers(styles, place), ...own];
  const dimension = kind && valueDimension[kind];
  if (dimension) return [...unitOffers({ kind: 'range', dimensions: [dimension] }, place.context.prefix), ...own];
  return [...(kind === 'chip' || kind === 'regulator' || kind === 'op-amp' ? nameOffers('pinout', place) : []), ...own];
}

function wordOffers(type: WordsType, place: Place): Offer[] {
  const { context } = place;
  if (type.names === 'contact') {
    const duties = ['tip', 'ring', 'sleeve', 'detect', 'tip-switch', 'ring-switch'];
    return duties
      .map((name): Offer => ({ label: name, kind: 'word', write: name }))
      .filter(({ label }) => !context.used.includes(label));
  }
  return nameOffers(type.names, place).filter((offer) => !context.used.includes(offer.label));
}

/** What a reference may lead to. */
function nameOffers(names: Names, place: Place): Offer[] {
  const { analysis, context, around } = place;
  if (names === 'pin') {
    const pins = [...(pinoutAround(analysis, context.path)?.pins.values() ?? [])];
    return pins.map((pin) => ({
      label: pin.key,
      kind: 'pin',
      write: pin.key,
      filter: `${pin.key} ${pin.name ?? ''}`,
      detail: [pin.name, pin.role].filter((word) => word).join(' · '),
    }));
  }
  if (analysis.kind !== 'board') return [];
  const { board } = analysis;
  switch (names) {
    case 'point': {
      const joins = context.path.includes('traces') || context.path.includes('cuts');
      const offers = (joins ? pointOffers : probeOffers)(analysis, context.prefix, context.used);
      if (context.path.at(-1) !== 'ground-lead') return offers;
      return [{ label: 'none', kind: 'word', write: 'none', detail: 'the clip hung free' }, ...offers];
    }
    case 'net':
      return netOffers(analysis);
    case 'part':
      return [...board.at().parts.values()].map((part) => ({
        label: part.designator,
        kind: 'part',
        write: part.designator,
        detail: partDetail(part),
      }));
    case 'pinout':
      return [...board.pinouts.values()].map((pinout) => ({
        label: pinout.name,
        kind: 'pinout',
        write: scalar(pinout.name, context),
        detail: pinout.describes,
        documentation: describePinout(pinout),
      }));
    case 'mode':
      return [...(partAround(board, context.path)?.pinout?.modes.keys() ?? [])].map((mode, index) => ({
        label: mode,
        kind: 'mode',
        write: scalar(mode, context),
        detail: index === 0 ? 'the default' : undefined,
      }));
    case 'state':
      return board.states.map((state) => ({ label: state, kind: 'state', write: scalar(state, context) }));
    case 'capture-file':
      return (around.captureFiles ?? []).map(({ path, detail }) => ({
        label: path,
        kind: 'file',
        write: scalar(path, context),
        detail,
      }));
    default:
      return [];
  }
}
