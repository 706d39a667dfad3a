import type { Warning } from './figures';
import type { ByteSource } from './source';

/** How samples are stored, as the header of a WAV file says. */
export interface WavFormat {
  readonly coding: 'integer' | 'float' | 'mu-law' | 'a-law';
  readonly channels: number;
  readonly rate: number;
  /** Bytes one sample takes in the file. */
  readonly bytes: number;
  /** Bits of it that count (left-justified); for companded audio the bits of the decoded value. */
  readonly bits: number;
  readonly littleEndian: boolean;
}

/** A parsed header: where the samples lie, and how many whole frames are really there. */
export interface WavHeader {
  readonly format: WavFormat;
  readonly dataFrom: number;
  readonly frames: number;
  /** Grows while the samples are read. */
  readonly warnings: Warning[];
}

type Failure = { readonly error: string };
const fail = (error: string): Failure => ({ error });

/** More channels than any bench recorder has: a header that says so is taken for junk. */
const mostChannels = 64;

/** What other codings are called, for the message that refuses them (registered WAVE format tags, RFC 2361). */
const unread: Record<number, string> = {
  2: 'ADPCM',
  17: 'IMA ADPCM',
  49: 'GSM 6.10',
  80: 'MPEG audio',
  85: 'MP3',
  255: 'AAC',
};

/** First bytes of other files that end up with the wrong name. */
const others: readonly (readonly [string, string])[] = [
  ['fLaC', 'a FLAC file'],
  ['OggS', 'an Ogg file'],
  ['FORM', 'an AIFF file'],
  ['ID3', 'an MP3 file'],
  ['caff', 'a CAF file'],
  ['RIFF', 'a RIFF file, but not of audio'],
];

const ascii = (bytes: Uint8Array, at: number, length: number) =>
  String.fromCharCode(...bytes.subarray(at, Math.min(at + length, bytes.length)));
const viewOf = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
const big = (view: DataView, at: number, little: boolean) =>
  little
    ? view.getUint32(at, true) + view.getUint32(at + 4, true) * 2 ** 32
    : view.getUint32(at) * 2 ** 32 + view.getUint32(at + 4);

/** The tag a GUID begins with. Big-endian files hold it as a 32-bit word, as two halves, or not turned at all. */
function subFormat(view: DataView, littleEndian: boolean): number {
  if (littleEndian) return view.getUint32(24, true);
  const readings = [view.getUint32(24), view.getUint16(24), view.getUint32(24, true)];
  return readings.find((tag) => tag > 0 && tag < 0xfffe) ?? readings[0]!;
}

/**
 * Reads a `fmt ` chunk (Microsoft/IBM RIFF specification 1991; WAVE_FORMAT_EXTENSIBLE, whose sub-format is the head of a GUID).
 * Refuses in words what it does not read or what contradicts itself.
 */
export function parseFormat(chunk: Uint8Array, littleEndian: boolean): WavFormat | Failure {
  if (chunk.length < 14) return fail('the WAV header is cut short inside its format chunk');
  const view = viewOf(chunk);
  let tag = view.getUint16(0, littleEndian);
  const channels = view.getUint16(2, littleEndian);
  const rate = view.getUint32(4, littleEndian);
  const align = view.getUint16(12, littleEndian);
  let bits = chunk.length >= 16 ? view.getUint16(14, littleEndian) : 8 * Math.floor(align / Math.max(1, channels));
  const container = bits;
  if (tag === 0xfffe) {
    if (chunk.length < 28) return fail('the WAV header is cut short inside its extended format');
    const valid = view.getUint16(18, littleEndian);
    tag = subFormat(view, littleEndian);
    if (valid > 0 && valid < bits) bits = valid;
  }
  if (channels === 0) return fail('the WAV header states no channels');
  if (channels > mostChannels)
    return fail(`the WAV header states ${channels} channels: more than ${mostChannels} are not read`);
  if (rate === 0) return fail('the WAV header states a sampling rate of 0 Hz');
  const coding = tag === 1 ? 'integer' : tag === 3 ? 'float' : tag === 6 ? 'a-law' : tag === 7 ? 'mu-law' : null;
  if (coding === null) {
    const name = unread[tag] ?? 'a coding';
    return fail(
      `the WAV file holds ${name} (format 0x${tag.toString(16).padStart(4, '0')}), which is not read: save it as PCM`,
    );
  }
  const bytes = align / channels;
  if (!Number.isInteger(bytes) || bytes !== Math.ceil(container / 8)) {
    return fail(
      `the WAV header contradicts itself: ${align} bytes a frame, but ${channels} channels of ${container} bits take ` +
        `${channels * Math.ceil(container / 8)}`,
    );
  }
  const known =
    coding === 'integer'
      ? container >= 1 && container <= 64
      : coding === 'float'
        ? container === 32 || container === 64
        : container === 8;
  if (!known) return fail(`the WAV file holds ${container}-bit ${coding} samples, which are not read`);
  // G.711: µ-law decodes to 14 bits, A-law to 13.
  if (coding === 'mu-law') bits = 14;
  if (coding === 'a-law') bits = 13;
  return { coding, channels, rate, bytes, bits, littleEndian };
}

/** Says what a file is that does not start as a WAV file does. */
function refuse(head: Uint8Array): Failure {
  const other = others.find(([magic]) => ascii(head, 0, magic.length) === magic);
  return fail(
    other
      ? `not a WAV file: it starts as ${other[1]}`
      : 'not a WAV file: it does not start with RIFF, RIFX, RF64 or BW64',
  );
}

/**
 * Walks the chunks of a WAV file: RIFF, big-endian RIFX, and the 64-bit forms RF64 (EBU Tech 3306) and BW64 (ITU-R BS.2088),
 * in any order, with or without the padding byte after an odd length. Where the samples end before the header says, or the
 * header never got its length (a recorder that lost power), what is there is used and a warning says so.
 */
export async function parseWavHeader(source: ByteSource): Promise<WavHeader | Failure> {
  if (source.size === 0) return fail('the file is empty');
  const head = await source.read(0, Math.min(12, source.size));
  const form = ascii(head, 0, 4);
  if (!['RIFF', 'RIFX', 'RF64', 'BW64'].includes(form)) return refuse(head);
  if (head.length < 12) return fail('the WAV header is cut short');
  if (ascii(head, 8, 4) !== 'WAVE') return refuse(head);
  const littleEndian = form !== 'RIFX';
  const warnings: Warning[] = [];
  let format: WavFormat | null = null;
  let longData: number | null = null;
  let data: { from: number; stated: number } | null = null;
  let at = 12;
  while (at + 8 <= source.size && (format === null || data === null)) {
    const header = await source.read(at, at + 8);
    if (header.length < 8) break;
    const name = ascii(header, 0, 4);
    let length = viewOf(header).getUint32(4, littleEndian);
    const from = at + 8;
    if (!/^[\x20-\x7e]{4}$/.test(name)) {
      // Some writers leave out the byte that pads an odd length: look one byte back before giving up.
      const back = ascii(await source.read(at - 1, at + 3), 0, 4);
      if (!/^[\x20-\x7e]{4}$/.test(back)) break;
      at -= 1;
      continue;
    }
    if (name === 'ds64') {
      const chunk = await source.read(from, from + 24);
      if (chunk.length >= 16) longData = big(viewOf(chunk), 8, littleEndian);
    } else if (name === 'fmt ') {
      const parsed = parseFormat(await source.read(from, from + Math.min(length, 40)), littleEndian);
      if ('error' in parsed) return parsed;
      format = parsed;
    } else if (name === 'data') {
      if (length === 0xffffffff && longData !== null) length = longData;
      data = { from, stated: length };
      // Written while recording and never closed: the length is still 0 or all ones.
      if (length === 0 || length === 0xffffffff) break;
    }
    at = from + length + (length % 2);
  }
  if (format === null) return fail('the WAV file ends before it says how its samples are stored');
  if (data === null) return fail('the WAV file holds no samples: it ends before its data chunk');
  const there = source.size - data.from;
  const open = data.stated === 0xffffffff || (data.stated === 0 && there > 8);
  const used = open ? there : Math.min(there, data.stated);
  const frameBytes = format.bytes * format.channels;
  const frames = Math.floor(used / frameBytes);
  if (frames === 0) return fail('the WAV file holds no samples');
  const seconds = (count: number) => `${(count / format.rate).toPrecision(4)} s`;
  if (open) {
    const text = `the header was never completed (the recorder did not close the file): all ${seconds(frames)} to the end are used`;
    warnings.push({ what: 'truncated', text });
  } else if (there < data.stated) {
    const stated = Math.floor(data.stated / frameBytes);
    const text = `the file is cut short: ${seconds(frames)} of ${seconds(stated)} are there, and are used`;
    warnings.push({ what: 'truncated', text });
  } else if (used % frameBytes !== 0) {
    warnings.push({ what: 'header', text: 'the samples end inside a frame; the whole frames before it are used' });
  }
  return { format, dataFrom: data.from, frames, warnings };
}
