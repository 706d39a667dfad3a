/** What a header cell of a scope CSV says about its column. */
export interface ColumnUnit {
  readonly kind: 'time' | 'volts' | 'amperes' | 'index';
  /** From the written unit to s, V or A. */
  readonly factor: number;
}

const prefixes: Record<string, number> = { '': 1, m: 1e-3, u: 1e-6, n: 1e-9, p: 1e-12, k: 1e3 };
const longPrefixes: Record<string, string> = { milli: 'm', micro: 'u', nano: 'n', pico: 'p', kilo: 'k' };

/** A unit as instruments write it ("Volt", "mV", "(us)", "Seconds", "Sequence"), or null where it is none. */
export function unitOf(text: string): ColumnUnit | null {
  const bare = text
    .trim()
    .replace(/^[([]\s*|\s*[)\]]$/g, '')
    .replace(/[µμ\ufffd]/g, 'u');
  if (/^(sequence|samples?|index|points?|no\.?|#)$/i.test(bare)) return { kind: 'index', factor: 1 };
  // One letter of prefix keeps its case: m is milli, M would be mega, which no bench column means.
  const short = /^([munpk]?)(s|S|sec|Sec|V|v|A|a)$/.exec(bare);
  if (short) return made(short[1]!, short[2]!);
  const long = /^(milli|micro|nano|pico|kilo|[munpk])?[\s-]?(seconds?|secs?|volts?|amps?|amperes?)$/i.exec(bare);
  if (!long) return null;
  const prefix = (long[1] ?? '').toLowerCase();
  return made(longPrefixes[prefix] ?? prefix, long[2]!);
}

function made(prefix: string, unit: string): ColumnUnit {
  const first = unit[0]!.toLowerCase();
  const kind = first === 's' ? 'time' : first === 'v' ? 'volts' : 'amperes';
  return { kind, factor: prefixes[prefix]! };
}

/** Splits "Time (ms)", "CH1[mV]", "CH2/V", "time_us" into name and unit; the unit is null where none is written. */
export function nameAndUnit(text: string): { readonly name: string; readonly unit: ColumnUnit | null } {
  const whole = text.trim();
  const alone = unitOf(whole);
  if (alone) return { name: '', unit: alone };
  const bracket = /^(.+?)\s*[([]([^()[\]]+)[)\]]$/.exec(whole);
  const inBracket = bracket && unitOf(bracket[2]!);
  if (bracket && inBracket) return { name: bracket[1]!.trim(), unit: inBracket };
  const tail = /^(.+?)[\s_/,]+([^\s_/,]+)$/.exec(whole);
  const inTail = tail && unitOf(tail[2]!);
  // "Channel A" is a name, not amperes.
  if (tail && inTail && inTail.kind !== 'index' && tail[2]!.toLowerCase() !== 'a')
    return { name: tail[1]!, unit: inTail };
  return { name: whole, unit: null };
}

/** A number with an optional unit and prefix, as metadata cells hold it ("4 us", "250 kSa/s", "2.000000e-05"); null if none. */
export function metaNumber(text: string): number | null {
  const found =
    /^\s*([+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:e[+-]?\d+)?)\s*([munpkMGµμ]?)\s*(s|sec|Hz|Sa\/s|S\/s|Samples\/s)?\s*$/i.exec(
      text,
    );
  if (!found) return null;
  const prefix = found[2]!.replace(/[µμ]/g, 'u');
  const scale = prefix === 'M' ? 1e6 : prefix === 'G' || prefix === 'g' ? 1e9 : (prefixes[prefix.toLowerCase()] ?? 1);
  return Number(found[1]!.replace(',', '.')) * scale;
}
