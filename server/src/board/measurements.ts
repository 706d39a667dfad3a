import type { CaptureEntry, ReadingEntry, Stimulus as StimulusEntry } from '../dialect/board-file';
import type { At, Entry, Problem, Word } from '../dialect/type';
import { toVoltsRms } from '../quantity/convert';
import type { Quantity } from '../quantity/quantity';
import type { WrittenPoint } from './copper';
import type { Capture, CaptureChannel, Reading, ReadingKind, Stimulus } from './measured';
import type { Resolver } from './resolve';
import { asFound, knownState } from './states';

/** Readings and captures, from their written form to the model. */

export interface Context {
  readonly resolver?: Resolver;
  readonly states: readonly string[];
  readonly problems: Problem[];
  readonly points: (words: readonly Word[] | undefined) => WrittenPoint[];
}

const kinds: readonly ReadingKind[] = ['dc', 'ac', 'frequency', 'ohms', 'diode', 'amps', 'farads', 'esr', 'beeps'];

function stateOf(written: At<string> | undefined, context: Context): string {
  const name = written?.value?.trim();
  if (!written || !name) return asFound;
  knownState(name, written.span, context.states, context.problems);
  return name;
}

/** What was being played; undefined where nothing is said, or nothing that can be read. */
export function readStimulus(written: StimulusEntry | undefined, context: Context): Stimulus | undefined {
  if (!written) return undefined;
  const none = {
    frequency: undefined,
    noise: undefined,
    title: undefined,
    side: undefined,
    level: undefined,
    into: [],
    source: undefined,
  };
  const word = written.scalar?.value;
  if (word !== undefined) return { ...none, kind: word as Stimulus['kind'], span: written.span };
  const map = written.map?.value;
  if (!map) return undefined;
  const kind = map.tone ? 'tone' : map.noise ? 'noise' : map.programme ? 'programme' : undefined;
  if (!kind || (map.tone && map.tone.value === undefined)) return undefined;
  const into = map.into;
  const pairs = into?.map?.value;
  const single = into?.scalar?.value ?? into?.list?.value;
  return {
    kind,
    frequency: map.tone?.value?.value,
    noise: map.noise?.value as Stimulus['noise'],
    title: map.programme?.value,
    side: map.side?.value as Stimulus['side'],
    level: map.level?.value,
    into: pairs
      ? (['left', 'right'] as const).flatMap((side) =>
          pairs[side] ? [{ side, points: context.points(pairs[side]!.value) }] : [],
        )
      : single
        ? [{ side: undefined, points: context.points(single) }]
        : [],
    source: map.source?.value?.value,
    span: written.span,
  };
}

/**
 * The kind of a short form: the unit names it, volts are DC, `OL` alone means ohms, and so do thousands without a unit, as resistors
 * are written (4k7, 10 k): nobody reads kilovolts off a meter.
 */
function shortKind(quantity: Quantity): ReadingKind {
  if (/^[^V]*[kM][^V]*$/i.test(quantity.text) && quantity.dimension === 'voltage' && quantity.value >= 1e3)
    return 'ohms';
  if (quantity.dimension === 'voltage') return quantity.current === 'ac' ? 'ac' : 'dc';
  if (quantity.dimension === 'frequency') return 'frequency';
  if (quantity.dimension === 'capacitance') return 'farads';
  return 'ohms';
}

/** Readings from their written form, one for each number; left out where a point or the number cannot be read. */
export function readReadings(entries: readonly ReadingEntry[], context: Context): Reading[] {
  return entries.flatMap((entry): Reading[] => {
    const map = entry.value ?? {};
    const common = {
      stimulus: readStimulus(map.stimulus, context),
      state: stateOf(map.state, context),
      zeroed: map.zeroed?.value === true,
      span: entry.span,
    };
    const short = entry.short;
    if (short) {
      const words = splitWords(short.key);
      const points = context.points(words);
      const quantity = short.value.value;
      if (!quantity || points.length !== words.length || points.length < 1 || points.length > 2) return [];
      const kind = shortKind(quantity);
      return [
        {
          ...common,
          kind,
          points,
          through: undefined,
          value: quantity.value,
          label: `reading ${short.key.text} ${quantity.text}`,
        },
      ];
    }
    const words = map.at?.value ?? map.between?.value;
    const points = context.points(words);
    const through = map.in?.value?.trim();
    if (words && points.length !== words.length) return [];
    return kinds.flatMap((kind): Reading[] => {
      const written = map[kind];
      if (!written || written.value === undefined) return [];
      if (points.length === 0 && !(kind === 'amps' && through)) return [];
      const where = points.length > 0 ? points.map((point) => point.text).join(' ') : through;
      if (typeof written.value === 'boolean')
        return [
          {
            ...common,
            kind,
            points,
            through,
            value: written.value ? 1 : 0,
            label: `reading ${where} ${written.value ? 'beeps' : 'does not beep'}`,
          },
        ];
      const quantity = written.value as Quantity;
      const value = kind === 'ac' ? (toVoltsRms(quantity) ?? quantity.value) : quantity.value;
      return [{ ...common, kind, points, through, value, label: `reading ${where} ${quantity.text}` }];
    });
  });
}

/** A short form's key holds one point or two. */
function splitWords(word: Word): Word[] {
  const aligned = word.span.end - word.span.start === word.text.length;
  return [...word.text.matchAll(/[^\s,]+/g)].map((match) => ({
    text: match[0],
    span: aligned
      ? { start: word.span.start + match.index, end: word.span.start + match.index + match[0].length }
      : word.span,
  }));
}

/** Captures from their written form; a channel whose points cannot be read is left out. */
export function readCaptures(entries: readonly Entry<CaptureEntry>[], context: Context): Capture[] {
  return entries.map((entry) => {
    const map = entry.value?.value ?? {};
    const path = map.file?.value?.trim();
    const csv = path !== undefined && /\.(csv|txt|tsv)$/i.test(path);
    const clip = map['ground-lead'];
    const clipText = clip?.value?.trim();
    return {
      name: entry.key.text,
      keySpan: entry.key.span,
      span: entry.span,
      file: map.file && path ? { path, span: map.file.span } : undefined,
      stimulus: readStimulus(map.stimulus, context),
      stimulusBroken:
        map.stimulus !== undefined &&
        readStimulus(map.stimulus, { ...context, problems: [], points: () => [] }) === undefined,
      channels: (map.channels?.value ?? []).flatMap((channel): CaptureChannel[] => {
        const words = channel.value.value ?? [];
        const points = context.points(words);
        if (points.length === 0 || points.length !== words.length || points.length > 2) return [];
        return [{ key: channel.key.text, keySpan: channel.key.span, points, span: channel.span }];
      }),
      groundLead:
        clip && clipText
          ? clipText === 'none'
            ? ('none' as const)
            : context.resolver?.resolve({ text: clipText, span: clip.span })
          : undefined,
      groundLeadSpan: clip?.span,
      fullScale: map['full-scale']?.value?.value,
      unit: map.unit?.value?.trim(),
      probe: map.probe?.value === 'x10' ? 10 : 1,
      input: map.input?.value?.value,
      coupling: (map.coupling?.value as 'ac' | 'dc' | undefined) ?? (csv ? 'dc' : 'ac'),
      state: stateOf(map.state, context),
    };
  });
}
