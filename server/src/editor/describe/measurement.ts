import { fixed } from '../../checks/channels/words';
import { formatQuantity } from '../../quantity/format';
import type { ChannelFigures, PairFigures, RecordingFigures } from '../../signal/figures';
import { paragraphs, prose } from '../markdown';

/** A line of words, or a table: rows of cells, the first its heading. Indented lines belong to the one above; empty ones part. */
type Block = string | readonly (readonly string[])[];

/** The figures of a recording as the command line prints them: columns side by side. */
export const measureText = (figures: RecordingFigures): string =>
  `${blocks(figures)
    .flatMap((block) => (typeof block === 'string' ? [block] : aligned(block)))
    .join('\n')}\n`;

/** The same as Markdown, for a page too narrow for columns. */
export function measureMarkdown(figures: RecordingFigures): string {
  const parts: string[] = [];
  for (const block of blocks(figures)) {
    if (typeof block !== 'string') parts.push(markdownTable(block));
    else if (block.startsWith('  ')) parts.push(`${parts.pop() ?? ''}\n- ${prose(block)}`);
    else if (block !== '') parts.push(prose(block));
  }
  return paragraphs(...parts);
}

/** One column a channel, one row a figure; then the pairs; nothing that was not computed. */
function blocks(figures: RecordingFigures): Block[] {
  const rows = channelRows.flatMap(([label, show]) => {
    const cells = figures.channels.map((channel) => show(channel) ?? undefined);
    return cells.some((cell) => cell !== undefined) ? [[label, ...cells.map((cell) => cell ?? '')]] : [];
  });
  return [
    `${figures.format}, ${figures.rate > 0 ? `${formatQuantity(figures.rate, 'Hz', 6)}, ` : ''}${figures.duration.toFixed(2)} s, ${figures.frames} frames`,
    ...figures.warnings.map((warning) => `! ${warning.text}`),
    '',
    [['', ...figures.channels.map((channel) => channel.name)], ...rows],
    ...figures.channels.flatMap(lineTexts),
    ...figures.pairs.flatMap((pair) => ['', ...pairLines(pair)]),
    ...(figures.stretch ? ['', figures.stretch.text] : []),
    ...(figures.sequence ? ['', ...sequenceBlocks(figures.sequence)] : []),
    '',
    figures.convention,
  ];
}

const number = (value: number, places = 2) => fixed(value, places);
const decibel = (value: number | null, unit = 'dB') => (value === null ? undefined : `${number(value)} ${unit}`);
const inUnit = (value: number, channel: ChannelFigures) =>
  channel.unit === 'FS' ? `${number(value, 5)} FS` : formatQuantity(value, channel.unit, 4);

const channelRows: readonly [string, (channel: ChannelFigures) => string | undefined | null][] = [
  ['DC', (c) => inUnit(c.dc, c)],
  ['RMS', (c) => inUnit(c.rms, c)],
  ['level', (c) => decibel(c.level.dbv, 'dBV') ?? decibel(c.level.dbfs, 'dBFS')],
  ['', (c) => decibel(c.level.dbu, 'dBu')],
  ['peak', (c) => inUnit(c.peak, c)],
  ['crest', (c) => decibel(c.crest)],
  ['clipped runs', (c) => (c.clipped === null ? undefined : String(c.clipped))],
  ['tone', (c) => c.tone && `${c.tone.frequency.toFixed(3)} Hz`],
  ['  amplitude', (c) => c.tone && inUnit(c.tone.amplitude, c)],
  ['  phase', (c) => c.tone && `${number(c.tone.phase)}°`],
  ['THD', (c) => (c.thd === null ? undefined : `${number(c.thd)} dB (2–${c.harmonics})`)],
  ['THD+N', (c) => decibel(c.thdn)],
  ['  20 Hz–20 kHz', (c) => decibel(c.thdnAudio)],
  ['SINAD', (c) => decibel(c.sinad)],
  ['SNR', (c) => decibel(c.snr)],
  ['ENOB', (c) => (c.enob === null ? undefined : `${number(c.enob)} bit`)],
  ['noise, flat', (c) => c.noise && decibel(c.noise.flat, noiseUnit(c))],
  ['noise, A', (c) => c.noise && decibel(c.noise.A, `${noiseUnit(c)}(A)`)],
  ['noise, CCIR-RMS', (c) => c.noise && decibel(c.noise.ccirRms, noiseUnit(c))],
  ['noise, BS.468 quasi-peak', (c) => c.noise?.bs468 && decibel(c.noise.bs468.typical, noiseUnit(c))],
  ['  highest', (c) => c.noise?.bs468 && decibel(c.noise.bs468.highest, noiseUnit(c))],
  ['hum', (c) => decibel(c.hum)],
];

/** Lines that stand out of a channel: combs by what makes them, then single lines. */
function lineTexts(channel: ChannelFigures): string[] {
  const combs = channel.combs.map(
    (comb) => `${number(comb.fundamental)} Hz${comb.names.length > 0 ? ` (${comb.names.join(' or ')})` : ''}`,
  );
  const spurs = channel.spurs.slice(0, 3).map((spur) => `${number(spur.frequency, 1)} Hz ${number(spur.level, 1)} dB`);
  return [
    ...(combs.length > 0 ? ['', `${channel.name}: combs at ${combs.join(', ')}`] : []),
    ...(spurs.length > 0 ? ['', `${channel.name}: single lines at ${spurs.join(', ')}`] : []),
  ];
}

const noiseUnit = (channel: ChannelFigures) => (channel.unit === 'FS' ? 'dBFS' : 'dBV');

function pairLines(pair: PairFigures): string[] {
  const parts = [
    pair.correlation === null ? undefined : `correlation ${number(pair.correlation, 4)}`,
    pair.coherence === null ? undefined : `coherence ${number(pair.coherence, 4)}`,
    pair.phase === null ? undefined : `phase ${number(pair.phase)}°`,
    pair.balance === null ? undefined : `balance ${number(pair.balance)} dB`,
    pair.delay === null ? undefined : `delay ${formatQuantity(pair.delay, 's')}`,
  ].filter((part) => part !== undefined);
  const lines = [`${pair.channels.join(' and ')}: ${pair.relation}: ${pair.because}`, `  ${parts.join(', ')}`];
  const { separation, crosstalk } = pair;
  if (separation) {
    const ways = [
      separation.firstDriven === null
        ? undefined
        : `${pair.channels[0]} driven ${number(separation.firstDriven, 1)} dB`,
      separation.secondDriven === null
        ? undefined
        : `${pair.channels[1]} driven ${number(separation.secondDriven, 1)} dB`,
    ].filter((way) => way !== undefined);
    if (ways.length > 0) lines.push(`  separation, ${ways.join(', ')}${separation.floor ? ' or more' : ''}`);
  }
  if (crosstalk) lines.push(`  crosstalk ${crosstalk.sign}, ${number(crosstalk.phase)}°`);
  for (const what of pair.tells.can) lines.push(`  can tell ${what}`);
  for (const what of pair.tells.cannot) lines.push(`  cannot tell ${what}`);
  return lines;
}

/** The whole stereo table of an all-in-one recording, one row a part. */
function sequenceBlocks({ start, drift, driftSd, table: all }: NonNullable<RecordingFigures['sequence']>): Block[] {
  const lines: Block[] = [
    `the all-in-one recording starts at ${number(start)} s${drift === null ? '' : `; clock ${number(drift, 1)} ppm${driftSd === null ? '' : ` ± ${number(2 * driftSd, 1)}`}`}`,
  ];
  if (!all) return lines;
  const level = (row: (typeof all.rows)[number], channel: 0 | 1) =>
    `${row.heard[channel] ? '' : '< '}${number(row.level[channel])}`;
  const rows = all.rows.map((row) => [
    row.part,
    level(row, 0),
    level(row, 1),
    row.correlation === null ? '' : number(row.correlation, 3),
    row.mid === null ? '' : number(row.mid),
    row.side === null ? '' : number(row.side),
    row.relation,
  ]);
  lines.push([['part', 'first dB', 'second dB', 'correlation', 'mid dB', 'side dB', 'relation'], ...rows]);
  for (const [name, driven] of [
    ['left', all.leftDriven],
    ['right', all.rightDriven],
  ] as const)
    if (driven)
      lines.push(
        `${name} alone: separation ${driven.floor ? 'at least ' : ''}${number(driven.separation, 1)} dB${driven.sign === null ? '' : `, ${driven.sign}`}${driven.path === null ? '' : `: ${driven.path}`}`,
      );
  if (all.echo)
    lines.push(
      `${all.echo.side} comes once more ${number(1e3 * all.echo.delay, 1)} ms later, ${number(all.echo.level, 1)} dB${all.echo.inverted ? ', turned over' : ''}`,
    );
  lines.push(all.because);
  return lines;
}

/** Columns side by side, the first flush left, the others flush right. */
function aligned(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  return rows.map((row) =>
    row
      .map((cell, column) => (column === 0 ? cell.padEnd(widths[0]!) : cell.padStart(widths[column]!)))
      .join('  ')
      .trimEnd(),
  );
}

function markdownTable([head, ...rows]: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.map(prose).join(' | ')} |`;
  return [line(head!), `| --- |${' ---: |'.repeat(head!.length - 1)}`, ...rows.map(line)].join('\n');
}
