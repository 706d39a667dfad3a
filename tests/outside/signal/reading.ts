import { outside } from '../../harness/outside';

/** The channels of any audio file as sox decodes it, as fractions of full scale, with its rate. */
export function decoded(path: string): { rate: number; channels: Float64Array[] } {
  const rate = Number(outside.run('sox', ['--i', '-r', path]).stdout);
  const count = Number(outside.run('sox', ['--i', '-c', path]).stdout);
  const raw = outside.run('sox', ['-D', path, '-t', 'f64', '-L', '-']).bytes;
  const all = new Float64Array(raw.buffer.slice(raw.byteOffset, raw.byteOffset + raw.length));
  return { rate, channels: Array.from({ length: count }, (_, c) => all.filter((_, i) => i % count === c)) };
}
