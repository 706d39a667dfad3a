import { describe, expect, test } from 'vitest';
import { readTrace } from '../../server/src/drawing/trace';
import type { BoardAnalysis } from '../../server/src/editor/analysis';
import { captureAt, hover } from '../../server/src/editor/hover';
import { memorySource } from '../../server/src/signal/source';
import { board, pinout } from '../dialect/texts';
import { analyseBoard } from '../harness/memory';
import { sine, wavBytes } from '../harness/wav';
import { atBoard, atPinout, covered, cursor } from './at';

async function told(text: string): Promise<string | undefined> {
  const { analysis, offset } = await atBoard(text);
  return hover(analysis, offset)?.markdown;
}

describe('a pin', () => {
  test('tells what its data sheet says, and from where', async () => {
    const text = await told(cursor(board, 'U1.14'));
    expect(text).toContain('**U1.14** · **DACL** · audio-out, left (as the pinout states)');
    expect(text).toContain('- rests at 1.65 V');
    expect(text).toContain('- full scale 900 mV RMS');
    expect(text).toContain('- impedance 20 Ω');
    expect(text).toContain('- least load 1 kΩ');
    expect(text).toContain('- returns to pin `2` (VSS)');
    expect(text).toContain('- in mode `differential`: 0.5 left + 0.5 right');
  });

  test('tells what it reaches and how that is known', async () => {
    const text = await told(cursor(board, 'U1.14'));
    expect(text).toContain('- buzzed: `C7.+`\n- what else it reaches: not found yet');
    expect(text).toContain('U1.14 – C7 – R4 – J2.tip (left)');
    expect(await told(cursor(board, 'GND\n'))).toMatch(/buzzed: `U1.2`, `J2.sleeve`\n- assumed: `R6.2`, `R7.2`/);
  });

  test('the loss on its way is that of the divider its parts make', async () => {
    const text = await told(cursor(board, 'R4.2 R6.1'));
    // 20 Ω + 470 Ω into 1 kΩ beside 10 kΩ, C7's 7.3 Ω at 997 Hz far below: 20·log10(909.1/1399.1) = −3.74 dB.
    expect(text).toContain('−3.7 dB from U1.14');
    // 1/(2π · 1399 Ω · 22 µF)
    expect(text).toContain('corner 5.2 Hz into 10 kΩ');
  });

  test('one that was looked for and reaches nothing, and one nobody looked for', async () => {
    expect(await told(cursor(board, 'U1.16'))).toContain('- reaches nothing');
    expect(await told('traces: {seen: [[U1.16, A]]}\nreadings: [U1.3$0: 1 V]')).toContain(
      '- reaches nothing found yet',
    );
  });

  test('a role read from the name, and one that this board gives it', async () => {
    expect(await told(cursor(board, 'U1.7 VSYS'))).toContain('VDDIO** · supply (read from the name)');
    const text = await told(
      'parts: {U1: {pins: {4: V-, 8: V+}}}\nnets: {NEG: {role: supply, volts: -15 V}}\ntraces: {buzzed: [U1$0.4 NEG]}',
    );
    expect(text).toContain('**V-** · supply (on this board)');
  });

  test('a supply pin says what feeds it, or that nothing was found yet', async () => {
    expect(await told(cursor(board, 'U1.7 VSYS'))).toContain('- fed by net VSYS');
    expect(await told('parts: {U1: fw2210}\ntraces: {buzzed: [U1$0.1 A]}')).toContain('- its feed: not found yet');
  });

  test('readings at its node stand beside it', async () => {
    expect(await told(cursor(board, 'U1.7 VSYS'))).toContain('**Measured here**\n\n- reading VSYS 3.28 V');
  });

  test('one that cannot be found, or is not typed yet, tells of its part', async () => {
    expect(await told('parts: {U1: fw2210}\ntraces: {buzzed: [U1.$0]}')).toContain('**U1** · chip');
    expect(await told('parts: {U1: fw2210}\ntraces: {buzzed: [U1.9$09]}')).toContain('**U1** · chip');
    expect(await told('board: x\n$0\n')).toBeUndefined();
  });
});

describe('other names of a board', () => {
  test('a part: kind, value, pinout, and which pins are not found yet', async () => {
    const text = await told(cursor(board, 'U1: {'));
    expect(text).toContain('**U1** · chip');
    expect(text).toContain('**fw2210** · Stereo playback chip with lithium-ion charger');
    expect(text).toContain('Not found yet: `1` (VBAT), `9` (XIN), `10` (XOUT).');
    expect(await told(cursor(board, 'R6:'))).toContain('- value 1 kΩ');
    expect(await told(cursor(board, '22 uF'))).toContain('- value 22 µF\n- rated 6.3 V\n- polarised');
  });

  test('a net, a mode, a pinout, a contact', async () => {
    expect(await told(cursor(board, 'VSYS:  {'))).toContain('- `supply`\n- nominal 3.3 V');
    expect(await told(cursor(board, 'stereo}'))).toContain('output mode of fw2210\n\n- `DACL`: left × 1, right × 0');
    expect(await told(cursor(board, 'fw2210,'))).toContain('- 7 of 16 pins described');
    expect(await told(cursor(board, 'J2.tip'))).toContain('**J2.tip** · contact, left of jack-trs');
    expect(await told('parts: {U1: {pinout: nowhere$0}}')).toBe('No pinout called `nowhere` is in reach.');
  });

  test('a rework by its state', async () => {
    const text =
      'reworks: [{name: bleeders, did: "fitted *two* 47 k"}]\nreadings: [{at: A, dc: 1 V, state: bleed$0ers}]';
    expect(await told(text)).toBe('**bleeders** · rework 1 of 1\n\nfitted \\*two\\* 47 k');
  });
});

describe('keys and words', () => {
  test('a key has its meaning, what it takes and an example', async () => {
    const text = await told(cursor(board, 'complaint'));
    expect(text).toContain('What the owner says is wrong.');
    expect(text).toContain('```yaml\ncomplaint: narration turns hollow\n```');
  });

  test('a caution has its whole text', async () => {
    expect(await told(cursor(board, 'lithium-cell'))).toMatch(
      /do not pry, bend, puncture.*Follow local codes; leave it to a licensed person where they say so\./,
    );
  });

  test('a check has its page where it is accepted or limited', async () => {
    expect(await told('accepted: [{check: ground-sp$0lit, because: x}]')).toContain('**Blind spots.**');
    expect(await told('limits: {coupling-corner$0-high: 20 Hz}')).toContain('Threshold: 30 Hz');
  });

  test('a role and a cause', async () => {
    expect(await told('nets: {A: {role: refer$0ence}}')).toContain('a quiet voltage');
    expect(await told('verdict: {cause: echo$0}')).toContain('a delayed copy is added');
  });

  test('a quantity is told in full, with its key', async () => {
    expect(await told('parts: {R1: {esr: 0R$047}}')).toBe('**470 mΩ**\n\nEquivalent series resistance.');
  });
});

describe('a pinout file', () => {
  test('its pins and modes', async () => {
    const { analysis, offset } = await atPinout(cursor(pinout, '13:'));
    const found = hover(analysis, offset)!;
    expect(covered(analysis.text, found.span)).toBe('13');
    expect(found.markdown).toContain('**13** · **DACR** · audio-out, right');
    const back = await atPinout(cursor(pinout, 'return: 2', 8));
    expect(hover(back.analysis, back.offset)?.markdown).toContain('**2** · **VSS** · ground (read from the name)');
  });
});

describe('a recording', () => {
  const text = `board: x
nets: {L: {role: audio-out, channel: left}, R: {role: audio-out, channel: right}, GND: {role: ground}}
captures:
  both:
    file: both.wav
    stimulus: {tone: 1 kHz, side: both}
    channels: {1: L, 2: R}
    full-scale: 2 V
`;

  test('has its figures, how the channels stand, and what the stimulus tells', async () => {
    const bytes = wavBytes([sine(1000, 0.5), sine(1000, 0.5, 180)]);
    const analysis = await analyseBoard(text, { 'both.wav': bytes });
    const offset = analysis.text.indexOf('both:') + 1;
    const told = hover(analysis, offset)?.markdown;
    // Half of 2 V peak is 0.707 V RMS, −3.01 dBV.
    expect(told).toContain('707 mV RMS (−3.01 dBV)');
    expect(told).toContain('**1 and 2: antiphase**');
    expect(told).toContain('phase 180.0°');
    expect(told).toContain('correlation −1.000');
    expect(told).toContain('This stimulus can tell');
    const point = hover(analysis, analysis.text.indexOf('1: L') + 3)?.markdown;
    expect(point).toContain('capture both, 1000 Hz on both sides, in phase: 707 mV RMS');
  });

  test('of a known level says what the network makes of its tone, beside what was measured', async () => {
    const player =
      'pinout: player\npins: {1: {name: OUTL, role: audio-out, channel: left, return: 2, full-scale: 1 V, impedance: 50}, 2: VSS}\n';
    const way =
      'board: x\nparts: {U1: {pinout: player}, C1: 22 uF, J1: {style: jack-ts, load: 10 k}}\nnets: {GND: {role: ground}}\ntraces:\n  buzzed: [U1.1 C1.1, C1.2 J1.tip, U1.2 J1.sleeve GND]\n';
    const taken = (level: string) =>
      `${way}captures:\n  take: {file: a.wav, stimulus: {tone: 1 kHz, side: left${level}}, channels: {1: J1.tip}, full-scale: 1 V}\n`;
    const files = { 'player.pinout.yaml': player, 'a.wav': wavBytes([sine(1000, 0.1)]) };
    const said = async (level: string) => {
      const analysis = await analyseBoard(taken(level), files);
      return hover(analysis, analysis.text.indexOf('take:') + 1)?.markdown;
    };
    // 1 V at −12 dBFS is 251.2 mV; 50 Ω into 10 kΩ leaves 249.9 mV. Measured: 0.1 V peak.
    expect(await said(', level: -12 dBFS')).toMatch(
      /\| level \| 70\.7 mV RMS .*\n\| tone by the network \| 250 mV RMS \|/,
    );
    expect(await said('')).not.toContain('by the network');
  });

  test('that is missing says so', async () => {
    const { analysis, offset } = await atBoard(cursor(text, 'both.wav'));
    expect(hover(analysis, offset)?.markdown).toContain('There is no file both.wav beside this board.');
  });
});

describe('a picture of a recording', () => {
  const text = `board: x
parts: {R4: 470}
nets: {L: {role: audio-out, channel: left}, R: {role: audio-out, channel: right}, GND: {role: ground}}
traces: {seen: [R4.2 L]}
captures:
  first: {file: a.wav, stimulus: {tone: 1 kHz, side: left}, channels: {1: L}}
  second: {file: b.wav, stimulus: {tone: 1 kHz, side: both}, channels: {1: L, 2: R}}
  missing: {file: c.wav, channels: {1: GND}}
`;
  const bytes = wavBytes([sine(1000, 0.5), sine(1000, 0.5, 180)]);
  const analysed = () => analyseBoard(text, { 'a.wav': bytes, 'b.wav': bytes });
  const at = (analysis: BoardAnalysis, words: string) => captureAt(analysis, analysis.text.indexOf(words) + 1)?.name;

  test('belongs to its name, its file and its channels, and to every point it was taken at', async () => {
    const analysis = await analysed();
    expect(at(analysis, 'second')).toBe('second');
    expect(at(analysis, 'b.wav')).toBe('second');
    expect(at(analysis, '2: R}')).toBe('second');
    expect(at(analysis, 'R4.2')).toBe('first');
    expect(at(analysis, 'R: {role')).toBe('second');
    expect(at(analysis, 'GND: {role')).toBeUndefined();
    expect(at(analysis, '470')).toBeUndefined();
  });

  test('stands in the hover as an image that carries itself, where there is one', async () => {
    const analysis = await analysed();
    const read = await readTrace(memorySource(bytes), { format: 'wav', part: { from: 0, to: 0.003 } });
    if (!('trace' in read)) throw new Error(read.error);
    const told = (words: string) =>
      hover(analysis, analysis.text.indexOf(words) + 1, new Map([['second', read.trace]]))!.markdown;
    for (const words of ['second', 'R: {role']) {
      const [, base64] = told(words).match(/!\[second over time\]\(data:image\/svg\+xml;base64,([A-Za-z0-9+/=]+)\)/)!;
      const svg = Buffer.from(base64!, 'base64').toString();
      expect(svg).toMatch(/^<svg .*2: R.*<\/svg>$/s);
      // Beyond about 100,000 characters editors show the letters of the image instead.
      expect(told(words).length).toBeLessThan(90_000);
    }
    expect(told('first')).not.toContain('data:');
    // Straight behind the title: the editor puts findings above it.
    expect(told('R: {role')).toMatch(
      /^\*\*R\*\* · net\n\nRecorded in `second`, 1000 Hz on both sides, in phase:\n\n!\[/,
    );
  });
});

describe('with care', () => {
  const text =
    'board: x\ncautions: [mains]\nparts:\n  BT1: {value: 3.7 V, chemistry: lithium-ion}\n  C1: 100 uF 400 V\n  R1: 1 k\ntraces: {seen: [C1.+ B]}\nnets: {B: {role: supply, volts: 320 V}}\n';

  test('the title and the list tell every caution, the inferred ones with what they come from', async () => {
    for (const word of ['x\n', 'cautions']) {
      const said = await told(cursor(text, word, word === 'x\n' ? 0 : 1));
      expect(said).toContain('- **mains**: ');
      expect(said).toContain('- **lithium-cell** (from cell BT1): ');
      expect(said).toContain('- **stored-charge** (from C1, rated 400 V): ');
      expect(said).toContain('- **high-voltage** (from net B): ');
    }
  });

  test('a part, a pin and a net tell those they call for, and no other', async () => {
    expect(await told(cursor(text, 'BT1:'))).toMatch(/\*\*With care\*\*\n\n- \*\*lithium-cell\*\*(?!.*mains)/s);
    expect(await told(cursor(text, 'C1:'))).toContain('**stored-charge**');
    expect(await told(cursor(text, 'C1.+'))).toContain('**stored-charge**');
    expect(await told(cursor(text, 'B: {'))).toContain('**high-voltage**');
    expect(await told(cursor(text, 'R1:'))).not.toContain('With care');
  });

  test('a stated one stands at its cell too', async () => {
    const stated = text.replace('[mains]', '[lithium-cell]');
    expect(await told(cursor(stated, 'BT1:'))).toContain('**lithium-cell**');
  });
});

describe('a chip by its copper', () => {
  test('which data sheet fits, with pins that agree, those open, and the next to look at', async () => {
    for (const word of ['U1: {', 'fw2210,']) {
      const said = await told(cursor(board, word));
      expect(said).toMatch(/\*\*By its copper\*\*\n\n- fw2210: .*%\. Pins .* agree.*\n- Open: /);
    }
  });

  test('nothing of a part that has no data sheet', async () => {
    expect(await told(cursor(board, 'R6:'))).not.toContain('By its copper');
  });
});

test('the text of a board cannot make a link, an image or HTML', async () => {
  const evil = '![x](http://evil/a.png) <img src=x> [go](command:x) **b** `c` www.evil.example';
  const text = await told(
    `parts: {R1: {value: 1 k, note: '${evil}'}}\ntraces: {buzzed: [R1.1 "a]b(c"]}\nnets: {}\nreadings: [R$01.1: 1 V]`,
  );
  expect(text).toBeDefined();
  const part = await told(`parts:\n  R$01: {value: 1 k, note: '${evil}'}`);
  expect(part).toContain('\\!\\[x\\]\\(http\\://evil/a.png\\)');
  expect(part).toContain('&lt;img');
  expect(part).not.toMatch(/<img|(?<!\\)!\[|(?<!\\)\]\(|www\.evil/);
});
