import { openCsv } from '../signal/csv';
import { Cancelled, type Control, guarded, Unreadable } from '../signal/source';
import { openWav } from '../signal/wav';
import { sourceOf } from './compute';
import type { Files } from './files';
import { formatOf } from './requests';

/** What a recording's head says of it. */
export interface Glance {
  /** s. */
  readonly duration: number;
  /** Hz. */
  readonly rate: number;
}

/** Most bytes gone through for a glance, where the head alone does not tell: common practice, no source. */
const most = 1 << 20;

/**
 * Length and rate of a recording without measuring it: of a WAV file by its head, of a short CSV file by going through it. Undefined
 * where it cannot be read, is long and would have to be read whole, or says no rate; and once `control` calls it off. Never rejects.
 */
export async function glance(files: Files, uri: string, control: Control): Promise<Glance | undefined> {
  const stat = await files.stat(uri).catch(() => undefined);
  const format = formatOf(uri);
  const byHead = format === 'wav' && files.ranges;
  if (stat?.kind !== 'file' || (!byHead && stat.size > most) || control.cancelled()) return undefined;
  const source = sourceOf({ uri, size: stat.size }, files);
  if ('error' in source) return undefined;
  try {
    const recording = await (format === 'wav' ? openWav : openCsv)(guarded(source), control);
    if ('error' in recording || !(recording.rate > 0)) return undefined;
    return { duration: recording.frames / recording.rate, rate: recording.rate };
  } catch (reason) {
    if (reason instanceof Cancelled || reason instanceof Unreadable) return undefined;
    throw reason;
  }
}
