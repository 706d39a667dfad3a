import type { ByteSource } from './source';

/** What stands in Latin-1 for the Greek µ and the true minus sign. */
const stand = new Map([
  [0x3bc, 0xb5],
  [0x2212, 0x2d],
]);

/** Bytes by which UTF-16 without a byte-order mark is told. */
const looked = 64;

/** Where the text begins, and which byte of two is the higher; null where the file is not UTF-16. */
function wide(head: Uint8Array): { readonly from: number; readonly high: 0 | 1 } | null {
  if (head[0] === 0xff && head[1] === 0xfe) return { from: 2, high: 1 };
  if (head[0] === 0xfe && head[1] === 0xff) return { from: 2, high: 0 };
  if (head.length < 8) return null;
  // Numbers and their signs are all below 256: every second byte is 0, and no other.
  const zeros = [0, 1].map((odd) => head.filter((byte, i) => i % 2 === odd && byte === 0).length);
  const half = Math.floor(head.length / 2);
  if (zeros[1] === half && zeros[0] === 0) return { from: 0, high: 1 };
  if (zeros[0] === Math.ceil(head.length / 2) && zeros[1] === 0) return { from: 0, high: 0 };
  return null;
}

/**
 * A text file as a source of one byte a character: itself, or of UTF-16 (told by its byte-order mark, or by its zeros) the lower
 * halves. Characters beyond Latin-1 become "?", but for the Greek µ and the true minus sign.
 */
export async function narrowed(source: ByteSource): Promise<ByteSource> {
  const layout = wide(await source.read(0, Math.min(source.size, looked)));
  if (layout === null) return source;
  const { from: start, high } = layout;
  return {
    size: Math.floor((source.size - start) / 2),
    async read(from, to) {
      const bytes = await source.read(start + 2 * from, start + 2 * to);
      const out = new Uint8Array(Math.floor(bytes.length / 2));
      for (let i = 0; i < out.length; i++) {
        const upper = bytes[2 * i + high]!;
        const lower = bytes[2 * i + 1 - high]!;
        out[i] = upper === 0 ? lower : (stand.get(256 * upper + lower) ?? 63);
      }
      return out;
    },
  };
}
