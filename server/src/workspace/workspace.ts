import { Board } from '../board/board';
import type { CaptureState } from '../checks/check';
import { reasons, runChecks } from '../checks/engine';
import type { Diagnosis } from '../diagnosis/causes/types';
import { parseBoard } from '../dialect/parse';
import { PieceCache } from '../dialect/split';
import {
  type Analysis,
  type BoardAnalysis,
  type FailedAnalysis,
  type PinoutAnalysis,
  problemFindings,
} from '../editor/analysis';
import type { Control } from '../signal/source';
import { compareFindings, type Finding } from '../text/finding';
import { Lines } from '../text/lines';
import type { BoardAsTexts, Compute } from './compute';
import { Diagnoses } from './diagnoses';
import { boardSuffixes, type Files, folderOf, kindOf, nameOf, pinoutSuffixes, resolveUri } from './files';
import type { Following } from './follow';
import { type Glance, glance } from './glance';
import { Pinouts } from './pinouts';
import { Reasoning } from './reasoning';
import { Recordings } from './recordings';
import { defaultSettings, type Settings } from './settings';
import { makeSnapshot } from './snapshot';
import { type TextOutcome, Texts } from './texts';
import { Traces } from './traces';

/** An analysis, and those that follow it; null where nothing is pending. */
export interface Analysed<T extends Analysis = Analysis> {
  readonly now: T;
  /** Its recordings measured, what is reasoned from them still that of before. */
  readonly soon?: Promise<T> | null;
  /** Everything measured and reasoned. */
  readonly later: Promise<T> | null;
}

/** Boards and pinouts of some folders: texts, pinouts in reach, recordings measured; gives immutable analyses. */
export class Workspace {
  readonly texts: Texts;
  private readonly pinouts: Pinouts;
  private readonly recordings: Recordings;
  private readonly reasoning: Reasoning;
  private readonly diagnoses: Diagnoses;
  /** Recordings as they are drawn. */
  readonly traces: Traces;
  private readonly pieces = new Map<string, PieceCache>();
  settings: Settings = defaultSettings;

  /**
   * @param files how files are read
   * @param compute where heavy work runs
   * @param folders URIs, each with a slash at its end, in which pinouts are looked for beside the board's own folder
   * @param follow is told of each recording that is measured, and each board that is reasoned about
   */
  constructor(
    private readonly files: Files,
    compute: Compute,
    public folders: readonly string[] = [],
    follow?: Following,
  ) {
    this.texts = new Texts(files);
    this.pinouts = new Pinouts(this.texts);
    this.recordings = new Recordings(files, compute, follow);
    this.reasoning = new Reasoning(compute, follow);
    this.diagnoses = new Diagnoses(compute);
    this.traces = new Traces(files, compute);
  }

  /** Boards and pinouts in a folder and below. */
  async find(folder: string): Promise<readonly string[]> {
    return this.texts.find(folder, [...boardSuffixes, ...pinoutSuffixes]);
  }

  /** Everything about a file as its text stands. Never rejects for what a file holds. */
  async analyse(uri: string): Promise<Analysed> {
    const text = await this.texts.read(uri);
    if ('check' in text) return { now: failed(uri, text, this.texts.version(uri)), later: null };
    if (kindOf(uri) === 'pinout') return { now: await this.pinoutAnalysis(uri, text), later: null };
    return this.boardAnalysis(uri, text);
  }

  /** As `analyse`, with every recording measured and everything reasoned. */
  async settled(uri: string): Promise<Analysis> {
    const { now, later } = await this.analyse(uri);
    return later ?? now;
  }

  /** Lines of any text in reach; of nothing where it cannot be read. */
  async linesOf(uri: string): Promise<Lines> {
    const text = await this.texts.read(uri);
    return new Lines('text' in text ? text.text : '');
  }

  /** Recordings in a board's folder and below, by path relative to it. */
  async recordingsNear(uri: string): Promise<readonly string[]> {
    const home = folderOf(uri);
    const found = await this.texts.find(home, ['.wav', '.csv']);
    return found.map((file) => decodeURIComponent(file.slice(home.length)));
  }

  /** Length and rate of a recording, by its path relative to a board; undefined where a glance does not tell. Never rejects. */
  glance(board: string, path: string, control: Control): Promise<Glance | undefined> {
    return glance(this.files, resolveUri(board, path), control);
  }

  /** Recordings whose measurement was stopped are measured when next asked about. */
  measureStopped(): void {
    this.recordings.forgetStopped();
  }

  /** The diagnosis of a board as it was analysed; undefined where it was cancelled. */
  diagnosis({ board, text, snapshot }: BoardAnalysis, control: Control): Promise<Diagnosis | undefined> {
    return this.diagnoses.of(this.asTexts(board, text, snapshot.captures), control);
  }

  /** A board as it may cross to a thread. */
  private asTexts(board: Board, text: string, captures: ReadonlyMap<string, CaptureState>): BoardAsTexts {
    const { file: uri, pinouts } = board;
    return {
      uri,
      text,
      pinouts: [...pinouts.values()].map(({ file }) => ({ uri: file, text: this.pinouts.textOf(file) })),
      captures: [...captures],
      limits: this.settings.limits,
    };
  }

  forget(uri: string): void {
    this.texts.close(uri);
    this.pieces.delete(uri);
    this.reasoning.forget(uri);
    this.diagnoses.forget(uri);
  }

  private async boardAnalysis(uri: string, { text, version }: { text: string; version: number }): Promise<Analysed> {
    let cache = this.pieces.get(uri);
    if (!cache) {
      cache = new PieceCache();
      this.pieces.set(uri, cache);
    }
    const parsed = parseBoard(text, cache);
    const { pinouts, problems } = await this.pinouts.inReach(uri, parsed.value, [
      ...this.folders,
      ...(this.settings.library === undefined ? [] : [this.settings.library]),
    ]);
    const board = new Board(uri, parsed.value, pinouts);
    const captures = await this.recordings.states(board);
    const lines = new Lines(text);
    const { limits } = this.settings;
    const make = (states: ReadonlyMap<string, CaptureState>) => {
      const snapshot = makeSnapshot(board, text, parsed, problems, states, limits);
      const quick = runChecks(snapshot, (check) => !reasons(check));
      const task = { kind: 'reason' as const, ...this.asTexts(board, text, states), told: quick };
      const finish = (reasoned: readonly Finding[], settled: boolean): BoardAnalysis => {
        const findings = [...quick, ...reasoned].sort(compareFindings);
        return { kind: 'board', uri, version, text, lines, parsed, board, snapshot, findings, settled };
      };
      return { task, finish };
    };
    const first = make(captures.now);
    const known = this.reasoning.now(first.task);
    const now = first.finish(known.findings, captures.settled && known.exact);
    const { reasoning } = this;
    // Begun when asked for: an analysis that a keystroke has overtaken need not be thought through.
    let measuring: Promise<typeof first> | undefined;
    const measured = () => {
      measuring ??= captures.settled ? Promise.resolve(first) : captures.later.then(make);
      return measuring;
    };
    return {
      now,
      get soon() {
        if (captures.settled) return null;
        return measured().then((last) => {
          const before = reasoning.now(last.task);
          return last.finish(before.findings, before.exact);
        });
      },
      get later() {
        if (now.settled) return null;
        return measured().then(async (last) => last.finish(await reasoning.later(last.task), true));
      },
    };
  }

  private async pinoutAnalysis(uri: string, { text, version }: { text: string; version: number }): Promise<Analysis> {
    const found = await this.pinouts.read(uri);
    if (!found) return failed(uri, { check: 'file-unreadable', message: 'The file cannot be read.' });
    const problems = [...found.parsed.problems, ...(found.pinout?.problems ?? [])];
    const analysis: PinoutAnalysis = {
      kind: 'pinout',
      uri,
      version,
      text,
      lines: new Lines(text),
      parsed: found.parsed,
      pinout: found.pinout,
      findings: problemFindings(uri, [
        ...problems,
        ...(await this.sameName(uri, found.pinout?.name, found.pinout?.span)),
      ]),
      settled: true,
    };
    return analysis;
  }

  /** Two pinouts of one name in one folder: which one a board means cannot be known. */
  private async sameName(uri: string, name: string | undefined, span: { start: number; end: number } | undefined) {
    if (name === undefined || !span) return [];
    for (const other of await this.texts.find(folderOf(uri), pinoutSuffixes)) {
      if (other === uri || folderOf(other) !== folderOf(uri)) continue;
      const pinout = (await this.pinouts.read(other))?.pinout;
      if (pinout?.name.toLowerCase() === name.toLowerCase())
        return [
          {
            check: 'duplicate-name',
            span,
            message: `${nameOf(other)} is called ${name} too: boards will find the first of the two.`,
          },
        ];
    }
    return [];
  }
}

function failed(uri: string, outcome: Extract<TextOutcome, { check: string }>, version = 0): FailedAnalysis {
  return {
    kind: 'failed',
    uri,
    version,
    text: '',
    lines: new Lines(''),
    findings: problemFindings(uri, [{ check: outcome.check, span: { start: 0, end: 0 }, message: outcome.message }]),
    settled: true,
  };
}
