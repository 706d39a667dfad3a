/** Whole entries to be filled in, offered where they may stand. */
export interface Snippet {
  readonly label: string;
  readonly detail: string;
  /** Keys from the root of the map or list it belongs into. */
  readonly path: readonly string[];
  /** Lines at the indentation of the cursor; `<1:text>` is a place to fill, `<1>` the same once more. */
  readonly lines: readonly string[];
  /** An entry of a list: a dash is put before it where none stands. */
  readonly item?: true;
  readonly file: 'board' | 'pinout';
}

const board = (path: string, label: string, detail: string, ...lines: string[]): Snippet => ({
  file: 'board',
  path: path === '' ? [] : path.split('/'),
  label,
  detail,
  lines,
});
const item = (...of: Parameters<typeof board>): Snippet => ({ ...board(...of), item: true });

export const snippets: readonly Snippet[] = [
  board(
    '',
    'new board',
    'title, parts, joins and nets',
    'board: <1:name of the board>',
    'complaint: <2:what is wrong with it>',
    '',
    'parts:',
    '  U1: {marking: "<3:as printed>"}',
    '  J1: {style: jack-trs, load: 10 k}',
    '',
    'traces:',
    '  buzzed:',
    '    - U1.2 J1.sleeve GND',
    '',
    'nets:',
    '  GND: {role: ground}',
  ),
  board('parts', 'chip', 'a chip with its pinout', 'U<1:1>: {pinout: <2:name>, marking: "<3:as printed>"}'),
  board('parts', 'capacitor', 'value and rating', 'C<1:1>: <2:22 uF> <3:6.3 V>'),
  board('parts', 'resistor by its code', 'as printed on it', 'R<1:1>: {code: "<2:102>"}'),
  board('parts', 'stereo jack', 'tip left, ring right', 'J<1:1>: {style: jack-trs, load: <2:10 k>}'),
  board('nets', 'supply', 'with its nominal', '<1:VSYS>: {role: supply, volts: <2:3.3 V>}'),
  board('nets', 'audio output', 'with its side', '<1:OUT_L>: {role: audio-out, channel: <2:left>}'),
  board(
    'captures',
    'tone on one side',
    'shows sides, dead channels and crosstalk',
    'tone-<1:left>:',
    '  file: captures/tone-<1>.wav',
    '  stimulus: {tone: 997 Hz, side: <1>, level: -12 dBFS}',
    '  channels: {1: <2:OUT_L>, 2: <3:OUT_R>}',
    '  ground-lead: <4:GND>',
    '  full-scale: <5:1 V>',
  ),
  board(
    'captures',
    'same tone on both sides',
    'shows a reversed polarity',
    'tone-both:',
    '  file: captures/tone-both.wav',
    '  stimulus: {tone: 997 Hz, side: both, level: -12 dBFS}',
    '  channels: {1: <1:OUT_L>, 2: <2:OUT_R>}',
    '  ground-lead: <3:GND>',
  ),
  item('traces/buzzed', 'join', 'points the meter beeped between', '<1:U1.1> <2:C1.1>'),
  item('traces/seen', 'join', 'points followed by eye', '<1:U1.1> <2:C1.1>'),
  item('traces/assumed', 'guess', 'points that may be joined, to be proven', '<1:U1.1> <2:C1.1>'),
  item('traces/apart', 'no beep', 'points that do not beep with one another', '<1:VSYS> <2:GND>'),
  item('readings', 'reading at a point', 'DC volts against ground', '<1:VSYS>: <2:3.3 V>'),
  item(
    'readings',
    'ohms between two points',
    'lead resistance taken off',
    '{between: [<1:A>, <2:B>], ohms: <3:0.1 ohm>, zeroed: yes}',
  ),
  item(
    'expect',
    'stereo',
    'two sides, kept apart',
    'stereo: {left: <1:OUT_L>, right: <2:OUT_R>, separation: <3:40 dB>}',
  ),
  item(
    'expect',
    'supply holds',
    'least, most and ripple',
    'supply: {at: <1:VSYS>, between: [<2:3.2 V>, <3:3.4 V>], ripple: <4:20 mV>}',
  ),
  item(
    'reworks',
    'rework',
    'what was done, and the joins it made',
    'name: <1:name>',
    'did: <2:what was done>',
    'traces:',
    '  buzzed:',
    '    - <3:U1.1> <4:C1.1>',
  ),
  item(
    'accepted',
    'accepted finding',
    'looked at, and lived with',
    'check: <1:return-shared>',
    'because: <2:why it may stay>',
  ),
  {
    ...board(
      '',
      'new pinout',
      'name, package and the first pins',
      'pinout: <1:name>',
      'package: <2:sop-16>',
      'describes: <3:what it is>',
      '',
      'pins:',
      '  1: {name: <4:VDD>, volts: [<5:3.0 V>, <6:3.6 V>]}',
      '  2: GND',
    ),
    file: 'pinout',
  },
  {
    ...board(
      'pins',
      'output pin',
      'with what a bench needs of it',
      '<1:14>: {name: <2:OUTL>, role: audio-out, channel: <3:left>, return: <4:2>, full-scale: <5:0.9 V>, impedance: <6:20>, min-load: <7:1 k>}',
    ),
    file: 'pinout',
  },
  {
    ...board(
      'modes',
      'stereo mode',
      'what each output carries, as weights',
      'stereo: {<1:OUTL>: {left: 1}, <2:OUTR>: {right: 1}}',
    ),
    file: 'pinout',
  },
  {
    ...board(
      'sections',
      'op-amp section',
      'what sits between pins',
      '<1:A>: {kind: op-amp, plus: <2:3>, minus: <3:2>, out: <4:1>}',
    ),
    file: 'pinout',
  },
  {
    ...board('pins', 'supply pin', 'with its range', '<1:1>: {name: <2:VDD>, volts: [<3:3.0 V>, <4:3.6 V>]}'),
    file: 'pinout',
  },
];

/** A snippet as editors take it, its further lines indented. */
export const snippetText = ({ lines }: Snippet, indent: string): string =>
  `${lines.join(`\n${indent}`).replace(/<(\d)(?::([^>]*))?>/g, (_, place, text) => (text === undefined ? `$${place}` : `$\{${place}:${text}}`))}$0`;

/** What a new file of a kind starts with, as editors take it. */
export function newFile(kind: Snippet['file'], name: string): string {
  const whole = snippets.find((snippet) => snippet.file === kind && snippet.path.length === 0)!;
  return `${snippetText(whole, '').replace(/\$\{1:[^}]*\}/, () => `$\{1:${name.replace(/[\\$}]/g, '\\$&')}}`)}\n`;
}

/** The snippets that belong at a path, in a map (`item` false) or a list. */
export const snippetsAt = (file: Snippet['file'], path: readonly (string | number)[]): Snippet[] => {
  const own = typeof path.at(-1) === 'number' ? path.slice(0, -1) : path;
  const list = own.length < path.length;
  return snippets.filter(
    (snippet) =>
      snippet.file === file &&
      (snippet.item === true) === list &&
      snippet.path.length === own.length &&
      snippet.path.every((step, index) => step === own[index]),
  );
};
