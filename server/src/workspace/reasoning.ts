import type { Finding } from '../text/finding';
import type { Span } from '../text/span';
import type { Compute, ReasonTask } from './compute';
import { nameOf } from './files';
import { type Following, unfollowed } from './follow';

/** What was reasoned about a file last: it stands, moved along with the text, until the next comes. */
interface Last {
  readonly key: string;
  readonly text: string;
  readonly findings: readonly Finding[];
}

/** Reasoning under way. */
interface Job {
  readonly key: string;
  promise: Promise<readonly Finding[]>;
  /** The text has moved on, or is looked at no more: it is called off. */
  overtaken: boolean;
}

/** Findings of the checks that reason, each board's last ones kept. */
export class Reasoning {
  private readonly last = new Map<string, Last>();
  private readonly jobs = new Map<string, Job>();

  constructor(
    private readonly compute: Compute,
    private readonly follow: Following = unfollowed,
  ) {}

  /** What is known now: exact where nothing has changed, else that of before, moved along. */
  now(task: ReasonTask): { readonly findings: readonly Finding[]; readonly exact: boolean } {
    const last = this.last.get(task.uri);
    if (!last) return { findings: [], exact: false };
    if (last.key === keyOf(task)) return { findings: last.findings, exact: true };
    return { findings: last.findings.flatMap((finding) => moved(finding, last.text, task.text) ?? []), exact: false };
  }

  /** Reasons anew, or gives what is known where nothing has changed; calls off what this overtakes. */
  async later(task: ReasonTask): Promise<readonly Finding[]> {
    const known = this.now(task);
    if (known.exact) return known.findings;
    const key = keyOf(task);
    const before = this.jobs.get(task.uri);
    if (before?.key === key) return before.promise;
    if (before) before.overtaken = true;
    const job: Job = { key, overtaken: false, promise: Promise.resolve([]) };
    this.jobs.set(task.uri, job);
    job.promise = this.run(task, job, known.findings).finally(() => {
      if (this.jobs.get(task.uri) === job) this.jobs.delete(task.uri);
    });
    return job.promise;
  }

  private async run(task: ReasonTask, job: Job, known: readonly Finding[]): Promise<readonly Finding[]> {
    const follow = this.follow(nameOf(task.uri), 'reasoning');
    let stopped = false;
    const cancelled = () => {
      stopped ||= follow.cancelled();
      return stopped || job.overtaken;
    };
    try {
      const findings = await this.compute(task, { cancelled, progress: (fraction) => follow.progress(fraction) });
      // Late for a text that has moved on: it must not stand in for what comes after it.
      if (job.overtaken) return known;
      // Stopped by the user, it is not begun again before something changes; what was known stands.
      const kept = cancelled() ? known : findings;
      this.last.set(task.uri, { key: job.key, text: task.text, findings: kept });
      return kept;
    } catch {
      // A thread that died must not take the other findings with it; the next change asks again.
      return known;
    } finally {
      follow.over();
    }
  }

  forget(uri: string): void {
    this.last.delete(uri);
    const job = this.jobs.get(uri);
    if (job) job.overtaken = true;
    this.jobs.delete(uri);
  }
}

const keyOf = (task: ReasonTask): string =>
  JSON.stringify([task.text, task.pinouts, task.limits, task.captures.map(([name, state]) => [name, state])]);

/** A finding where its text now stands; undefined where that very text was changed. */
function moved(finding: Finding, before: string, after: string): Finding | undefined {
  let start = 0;
  const most = Math.min(before.length, after.length);
  while (start < most && before.charCodeAt(start) === after.charCodeAt(start)) start++;
  let same = 0;
  while (
    same < most - start &&
    before.charCodeAt(before.length - 1 - same) === after.charCodeAt(after.length - 1 - same)
  )
    same++;
  const end = before.length - same;
  const by = after.length - before.length;
  const shift = (span: Span): Span | undefined =>
    span.end <= start ? span : span.start >= end ? { start: span.start + by, end: span.end + by } : undefined;
  const span = shift(finding.place.span);
  if (!span) return undefined;
  const related = finding.related.flatMap((place) => {
    if (place.place.file !== finding.place.file) return [place];
    const own = shift(place.place.span);
    return own ? [{ ...place, place: { ...place.place, span: own } }] : [];
  });
  // An edit worked out on the old text must not be made on the new.
  return { ...finding, place: { ...finding.place, span }, related, fixes: [] };
}
