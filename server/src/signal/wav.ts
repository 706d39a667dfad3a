import type { Warning } from './figures';
import { type Block, blockFrames, type Rails, type Reader, type RecordedChannel, type Recording } from './recording';
import { type ByteSource, type Control, checkpoint } from './source';
import { decoderOf } from './wav-decode';
import { parseWavHeader, type WavFormat, type WavHeader } from './wav-header';

const codings = { integer: 'integer', float: 'float', 'mu-law': 'µ-law', 'a-law': 'A-law' } as const;

/** Where a format runs out of numbers. A float file holds what a converter's rails were, one short of +1 at the top. */
function railsOf(format: WavFormat): Rails {
  if (format.coding === 'mu-law') return { low: -8031 / 2 ** 13, high: 8031 / 2 ** 13, step: null };
  if (format.coding === 'a-law') return { low: -4032 / 2 ** 12, high: 4032 / 2 ** 12, step: null };
  const high = 1 - 2 ** -(format.coding === 'float' ? 15 : format.bits - 1);
  return { low: -1, high, step: stepOf(format) };
}

const stepOf = ({ coding, bits }: WavFormat) => (coding === 'integer' ? 2 ** (1 - bits) : null);

/** No recorder's full scale is so far above 1, and squares of squares of it can still be summed. */
const mostFloat = 1e37;

/** Floats can be "not a number", or beyond all measure: such samples are taken as 0, and said once. */
function cleanse(arrays: readonly Float64Array[], frames: number, warnings: Warning[]): void {
  for (const array of arrays) {
    let odd = 0;
    for (let i = 0; i < frames; i++)
      if (!(Math.abs(array[i]!) < mostFloat)) {
        array[i] = 0;
        odd++;
      }
    if (odd === 0) continue;
    const text = 'some samples are not numbers, or beyond all measure; they are taken as 0';
    if (!warnings.some((warning) => warning.text === text)) warnings.push({ what: 'gaps', text });
  }
}

/** Every frame of the data chunk from `from` on, read block by block. */
async function* wavBlocks(
  source: ByteSource,
  header: WavHeader,
  from: number,
  control?: Control,
): AsyncGenerator<Block> {
  const { format, dataFrom, frames } = header;
  const frameBytes = format.bytes * format.channels;
  const full = Math.max(1024, Math.min(blockFrames, Math.floor(2 ** 22 / (8 * format.channels))));
  const decode = decoderOf(format);
  const arrays = Array.from({ length: format.channels }, () => new Float64Array(full));
  for (let at = from; at < frames; at += full) {
    await checkpoint(control, at / frames);
    const wanted = Math.min(full, frames - at);
    const start = dataFrom + at * frameBytes;
    const bytes = await source.read(start, start + wanted * frameBytes);
    const got = Math.floor(bytes.length / frameBytes);
    if (got === 0) return;
    decode(bytes, got, arrays);
    if (format.coding === 'float') cleanse(arrays, got, header.warnings);
    yield got === full ? arrays : arrays.map((array) => array.subarray(0, got));
    if (got < wanted) return;
  }
}

/** Opens a WAV file: integer of 8 to 64 bits, float of 32 and 64, µ-law, A-law; RIFF, RIFX, RF64, BW64; extensible or plain. */
export const openWav: Reader = async (source) => {
  const header = await parseWavHeader(source);
  if ('error' in header) return header;
  const { format, frames, warnings } = header;
  const order = format.littleEndian ? '' : ', big-endian';
  const bits = format.coding === 'integer' || format.coding === 'float' ? `${format.bits}-bit ` : '';
  const rails = railsOf(format);
  const channels = Array.from(
    { length: format.channels },
    (_, c): RecordedChannel => ({ name: `${c + 1}`, unit: 'FS', factor: 1, rails }),
  );
  const recording: Recording = {
    format: `WAV, ${bits}${codings[format.coding]}${order}`,
    rate: format.rate,
    frames,
    channels,
    warnings,
    even: true,
    step: stepOf(format),
    blocks: (from = 0, control) => wavBlocks(source, header, from, control),
  };
  return recording;
};
