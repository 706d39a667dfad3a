import type { BoardFile, PartEntry, Traces } from '../dialect/board-file';
import { checkNames } from '../dialect/check-names';
import { nearest } from '../dialect/nearest';
import type { Entry, Problem, Word } from '../dialect/type';
import { expected } from '../quantity/dimension';
import type { Span } from '../text/span';
import { Copper, type Join, type WrittenPoint } from './copper';
import { kindOfDesignator } from './designator';
import type { Capture, Reading } from './measured';
import { readCaptures, readReadings } from './measurements';
import type { Net } from './net';
import { Part } from './part';
import type { Pinout } from './pinout';
import { Resolver } from './resolve';
import { asFound, knownState } from './states';

/** A finding the writer has looked at and lives with. */
export interface Acceptance {
  readonly check: string | undefined;
  /** Canonical point names; empty: wherever the check speaks. */
  readonly at: readonly string[];
  readonly because: string | undefined;
  readonly span: Span;
}

/** A board on the bench, resolved: the one model everything reads. Immutable. */
export class Board {
  readonly title: { readonly text: string; readonly span: Span } | undefined;
  readonly nets: ReadonlyMap<string, Net>;
  readonly captures: readonly Capture[];
  readonly readings: readonly Reading[];
  readonly accepted: readonly Acceptance[];
  /** Check → threshold in the check's own unit. */
  readonly limits: ReadonlyMap<string, number>;
  /** `as-found`, then the reworks in order. */
  readonly states: readonly string[];
  /** References that lead nowhere, values that cannot be: beyond what the text alone shows. */
  readonly problems: readonly Problem[];
  private readonly coppers = new Map<string, Copper>();
  private readonly partsOf: readonly ReadonlyMap<string, Part>[];
  private readonly joins: readonly {
    readonly joins: readonly Join[];
    readonly cuts: readonly (readonly WrittenPoint[])[];
  }[];
  private readonly apart: readonly { readonly points: readonly WrittenPoint[]; readonly span: Span }[];
  private readonly resolver: Resolver;
  private asker: Resolver | undefined;

  /**
   * @param file what the workspace names the board's file by
   * @param parsed the board file as read
   * @param pinouts pinouts in reach, by name in lower case
   */
  constructor(
    readonly file: string,
    readonly parsed: BoardFile | undefined,
    readonly pinouts: ReadonlyMap<string, Pinout>,
  ) {
    const problems: Problem[] = [];
    const map = parsed?.value;
    this.title = map?.board?.value === undefined ? undefined : { text: map.board.value, span: map.board.span };
    this.nets = new Map((map?.nets?.value ?? []).map((entry) => [entry.key.text, readNet(entry)]));

    const reworks = (map?.reworks?.value ?? []).map((rework) => rework.value ?? {});
    const states = [asFound];
    reworks.forEach((rework, index) => {
      const name = rework.name?.value?.trim() || `rework ${index + 1}`;
      if (states.includes(name) && rework.name)
        problems.push({
          check: 'duplicate-name',
          span: rework.name.span,
          message: `There is a state called ${name} already.`,
        });
      states.push(name);
    });
    this.states = states;

    const polarised = partsUsedByPolarity(allWords(parsed));
    const steps = [map?.parts?.value ?? [], ...reworks.map((rework) => rework.parts?.value ?? [])];
    const entries = new Map<string, Entry<PartEntry>>();
    const partsOf: Map<string, Part>[] = [];
    steps.forEach((step, index) => {
      const parts = new Map(partsOf[index - 1] ?? []);
      for (const entry of step) {
        const designator = entry.key.text;
        const merged = mergeEntries(entries.get(designator), entry);
        entries.set(designator, merged);
        const declared = { keySpan: entry.key.span, span: entry.span };
        parts.set(
          designator,
          new Part(designator, merged.value, declared, file, pinouts, problems, polarised.has(designator)),
        );
      }
      partsOf.push(parts);
    });
    this.partsOf = partsOf;
    const last = partsOf[partsOf.length - 1]!;
    for (const part of last.values()) this.checkPinoutNames(part, problems);

    const implied = (designator: string): Part | undefined => {
      const known = last.get(designator) ?? partsOf.map((parts) => parts.get(designator)).find((part) => part);
      if (known) return known;
      if (kindOfDesignator(designator) === undefined) return undefined;
      const part = new Part(designator, undefined, undefined, file, pinouts, [], polarised.has(designator));
      for (const parts of partsOf) parts.set(designator, part);
      return part;
    };
    const resolver = new Resolver(new Set(this.nets.keys()), implied, problems);
    this.resolver = resolver;
    const points = (words: readonly Word[] | undefined) =>
      (words ?? []).flatMap((word) => resolver.resolve(word) ?? []);
    for (const name of this.nets.keys()) resolver.points.set(name, { name, part: undefined, pin: undefined });

    const traces = [map?.traces?.value, ...reworks.map((rework) => rework.traces?.value)];
    this.joins = traces.map((trace, index) => ({
      joins: readJoins(trace, resolver, states[index]!),
      cuts: index === 0 ? [] : (reworks[index - 1]!.cuts?.value ?? []).map((cut) => points(cut.value)),
    }));
    this.apart = traces.flatMap((trace) =>
      (trace?.apart?.value ?? []).map((list) => ({ points: points(list.value), span: list.span })),
    );

    const context = { resolver, states, problems, points };
    this.readings = readReadings(map?.readings?.value ?? [], context);
    this.captures = readCaptures(map?.captures?.value ?? [], context);
    for (const expectation of map?.expect?.value ?? []) {
      context.points(expectationWords(expectation));
      const state = expectation.value?.state;
      if (state?.value !== undefined) knownState(state.value, state.span, states, problems);
    }
    this.accepted = (map?.accepted?.value ?? []).map((entry) => ({
      check: entry.value?.check?.value,
      // Some findings are about a part as a whole: its designator names it.
      at: (entry.value?.at?.value ?? []).flatMap((word) =>
        last.has(word.text) && !this.nets.has(word.text) ? [word.text] : points([word]).map((point) => point.ref.name),
      ),
      because: entry.value?.because?.value,
      span: entry.span,
    }));
    this.limits = new Map(
      (map?.limits?.value ?? []).flatMap((entry) => {
        const limit = checkNames.get(entry.key.text)?.limit;
        const value = entry.value.value;
        if (!limit || !value) return [];
        if (limit.dimensions.includes(value.dimension) || /^[-+\d.,eE]+$/.test(value.text))
          return [[entry.key.text, value.value] as const];
        problems.push({
          check: 'wrong-unit',
          span: entry.value.span,
          message: `The limit of ${entry.key.text} is ${limit.what}: expected ${expected(limit.dimensions)}.`,
        });
        return [];
      }),
    );
    this.problems = unlike(problems);
  }

  /** The state whose copper holds now. */
  get lastState(): string {
    return this.states[this.states.length - 1]!;
  }

  /**
   * Parts, joins and evidence after a rework (the last, if none is named; the last too for a name nobody gave). Nothing reads
   * copper in any other way.
   */
  at(state: string = this.lastState): Copper {
    const index = this.states.includes(state) ? this.states.indexOf(state) : this.states.length - 1;
    const name = this.states[index]!;
    let copper = this.coppers.get(name);
    if (!copper) {
      let joins: Join[] = [];
      for (const step of this.joins.slice(0, index + 1)) {
        for (const cut of step.cuts) joins = joins.flatMap((join) => applyCut(join, cut));
        joins = [...joins, ...step.joins];
      }
      copper = new Copper(
        name,
        this.partsOf[index]!,
        joins,
        this.apart,
        this.resolver.points.values(),
        this.nets,
        this.parsed?.value?.complete?.value === true,
        this.resolver.doubtfulParts,
      );
      this.coppers.set(name, copper);
    }
    return copper;
  }

  /** The point a text names, as it would anywhere in the file; undefined where it names none. Notes no problem. */
  point(text: string): WrittenPoint | undefined {
    const parts = this.partsOf[this.partsOf.length - 1]!;
    this.asker ??= new Resolver(new Set(this.nets.keys()), (designator) => parts.get(designator), []);
    return this.asker.resolve({ text, span: { start: 0, end: text.length } });
  }

  /** The pinouts this board's parts name, each once. */
  usedPinouts(): readonly Pinout[] {
    const used = new Set<Pinout>();
    for (const parts of this.partsOf)
      for (const part of parts.values()) {
        if (part.pinout && !part.pinout.inline) used.add(part.pinout);
        for (const candidate of part.candidates) if (candidate.pinout) used.add(candidate.pinout);
      }
    return [...used];
  }

  private checkPinoutNames(part: Part, problems: Problem[]): void {
    const known = [...this.pinouts.values()].map((pinout) => pinout.name);
    const missing = (name: string, span: Span, short: boolean) => {
      const near = nearest(name, known);
      // A chip's short form may be no more than its type: only a near miss of a known pinout is worth a word.
      if (short && near === undefined) return;
      problems.push({
        check: 'unknown-reference',
        span,
        message: `No pinout called ${name} is in reach${near === undefined ? '' : `. Did you mean ${near}?`}`,
        ...(short && { severity: 'hint' as const }),
        ...(near !== undefined && { fixes: [{ title: `Write ${near}`, edits: [{ span, text: near }], safe: false }] }),
      });
    };
    if (part.pinoutName && !part.pinout) missing(part.pinoutName.name, part.pinoutName.span, part.pinoutName.short);
    for (const candidate of part.candidates) if (!candidate.pinout) missing(candidate.name, candidate.span, false);
    const mode = part.mode;
    if (mode && part.pinout && !part.pinout.modes.has(mode.name)) {
      const modes = [...part.pinout.modes.keys()];
      const near = nearest(mode.name, modes);
      problems.push({
        check: 'unknown-reference',
        span: mode.span,
        message: `${part.pinout.name} has no mode called ${mode.name}: ${modes.length > 0 ? `it has ${modes.join(', ')}` : 'it lists none'}.`,
        ...(near !== undefined && {
          fixes: [{ title: `Write ${near}`, edits: [{ span: mode.span, text: near }], safe: false }],
        }),
      });
    }
  }
}

/** A part that a rework changes is read twice: what is wrong in it is told once. */
function unlike(problems: readonly Problem[]): Problem[] {
  const seen = new Set<string>();
  return problems.filter((problem) => {
    const key = `${problem.check} ${problem.span.start} ${problem.span.end} ${problem.message}`;
    return !seen.has(key) && seen.add(key);
  });
}

type NetEntry = NonNullable<NonNullable<NonNullable<BoardFile['value']>['nets']>['value']>[number];

function readNet(entry: NetEntry): Net {
  const map = entry.value?.value ?? {};
  const volts = map.volts?.value;
  return {
    name: entry.key.text,
    role: map.role?.value,
    channel: map.channel?.value as Net['channel'],
    volts: volts && { min: volts.min.value, max: volts.max.value, ends: volts.ends },
    voltsBroken: map.volts !== undefined && volts === undefined,
    load: map.load?.value?.value,
    complete: map.complete?.value === true,
    note: map.note?.value,
    keySpan: entry.key.span,
    span: entry.span,
    voltsSpan: map.volts?.span,
    roleSpan: map.role?.span,
  };
}

function readJoins(traces: Traces['value'], resolver: Resolver, state: string): Join[] {
  const joins: Join[] = [];
  for (const evidence of ['buzzed', 'seen', 'assumed'] as const)
    for (const list of traces?.[evidence]?.value ?? []) {
      const resolved = (list.value ?? []).map((word) => resolver.resolve(word));
      const points = resolved.flatMap((point) => point ?? []);
      if (points.length > 0)
        joins.push({ evidence, points, span: list.span, state, doubtful: points.length < resolved.length });
    }
  return joins;
}

/**
 * A cut takes copper away. A join all of whose points are named is gone; from a longer join that holds two or more of them, the
 * one named first is taken off, as a lifted pin is.
 */
function applyCut(join: Join, cut: readonly WrittenPoint[]): Join[] {
  const named = new Set(cut.map((point) => point.ref.name));
  const hit = join.points.filter((point) => named.has(point.ref.name));
  if (hit.length < 2) return [join];
  if (join.points.every((point) => named.has(point.ref.name))) return [];
  const lifted = cut.find((point) => hit.some((other) => other.ref.name === point.ref.name))!.ref.name;
  return [{ ...join, points: join.points.filter((point) => point.ref.name !== lifted) }];
}

/** A later map changes the keys it names, a value or a marking taking the other's place; a short form, or a part that had none, replaces. */
function mergeEntries(before: Entry<PartEntry> | undefined, entry: Entry<PartEntry>): Entry<PartEntry> {
  const old = before?.value.map;
  const now = entry.value.map;
  if (!before || !old?.value || !now?.value) return entry;
  const { value, code, ...rest } = old.value;
  const kept = now.value.value || now.value.code ? rest : { ...rest, ...(value && { value }), ...(code && { code }) };
  return { ...entry, value: { ...entry.value, map: { ...now, value: { ...kept, ...now.value } } } };
}

function allWords(parsed: BoardFile | undefined): Word[] {
  const traces = [
    parsed?.value?.traces?.value,
    ...(parsed?.value?.reworks?.value ?? []).map((rework) => rework.value?.traces?.value),
  ];
  return traces.flatMap((trace) =>
    [trace?.buzzed, trace?.seen, trace?.assumed].flatMap((joins) =>
      (joins?.value ?? []).flatMap((join) => join.value ?? []),
    ),
  );
}

/** Parts of which a + or - was named: using one on a capacitor makes it polarised. */
const partsUsedByPolarity = (words: readonly Word[]): Set<string> =>
  new Set(words.flatMap((word) => (/\.[+-]$/.test(word.text) ? word.text.slice(0, -2) : [])));

type ExpectationEntry = NonNullable<NonNullable<NonNullable<BoardFile['value']>['expect']>['value']>[number];

/** Every point an expectation names. */
function expectationWords(expectation: ExpectationEntry): Word[] {
  const of = expectation.value ?? {};
  const lists = [
    of.stereo?.value?.left,
    of.stereo?.value?.right,
    of.balance?.value?.left,
    of.balance?.value?.right,
    of['in-phase'],
    of.opposed,
    of.joined,
    of.apart,
    of.level?.value?.at,
    of.noise?.value?.at,
    of.distortion?.value?.at,
    of.supply?.value?.at,
    of.dc?.value?.at,
    of.frequency?.value?.at,
    of.ohms?.value?.between,
  ];
  return lists.flatMap((list) => [...(list?.value ?? [])]);
}
