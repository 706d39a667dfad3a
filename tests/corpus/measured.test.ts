import { describe, expect, it } from 'vitest';
import { captureOf } from '../harness/capture-recipe';
import { findingsOf } from './found';
import { healthy } from './healthy';

// A healthy board as it is measured: 0.8 V of full scale behind 20 + 100 Ω into 47 kΩ ∥ 10 kΩ is 0.7885 V at 0 dBFS, so a tone at
// −12 dBFS is 0.2801 V peak: −11.05 dBFS of a recorder with 1 V at full scale. Its floor and crosstalk are those of a good sound card.
const tone = 'sine 997 Hz -11.05 dBFS';
const leak = 'sine 997 Hz -88 dBFS';
const floor = 'noise -95 dBFS';
const take = (name: string, stimulus: string, left: string, right: string, seconds = 0.5) => ({
  name,
  stimulus,
  bytes: captureOf(`seconds: ${seconds}\n1: ${left}\n2: ${right}\n`),
});

const takes = [
  take('left', '{tone: 997 Hz, side: left, level: -12 dBFS}', `${tone} + ${floor}`, `${leak} + ${floor}`),
  take('right', '{tone: 997 Hz, side: right, level: -12 dBFS}', `${leak} + ${floor}`, `${tone} + ${floor}`),
  take('both', '{tone: 997 Hz, side: both, level: -12 dBFS}', `${tone} + ${floor}`, `${tone} + ${floor}`),
  take('opposed', '{tone: 997 Hz, side: opposed, level: -12 dBFS}', `${tone} + ${floor}`, `-${tone} + ${floor}`),
  take('unlike', '{noise: white, side: unlike}', 'noise one -20 dBFS', 'noise two -20 dBFS'),
  take('hiss', '{noise: white, side: both}', 'noise one -20 dBFS', 'noise one -20 dBFS'),
  take('quiet', 'silence', floor, floor),
  take(
    'speech',
    '{programme: speech}',
    `noise one -20 dBFS + noise two -30 dBFS`,
    `noise one -20 dBFS + noise three -30 dBFS`,
  ),
  take('left-voice', '{programme: speech, side: left}', 'noise one -20 dBFS', floor),
  take('mono-voice', '{programme: speech, side: both}', 'noise one -20 dBFS', 'noise one -20 dBFS'),
  take('one-voice', 'programme', 'noise one -20 dBFS', floor),
  take('loud', '{programme: music}', 'noise one 6 dBFS', 'noise one 6 dBFS'),
];

const board = (some: readonly { name: string; stimulus: string }[], more = '', scale = 'full-scale: 1 V') =>
  `${healthy['single-ended']}captures:
${some
  .map(
    ({ name, stimulus }) => `  ${name}:
    file: ${name}.wav
    stimulus: ${stimulus}
    channels: {1: OUT_L, 2: OUT_R}
    ground-lead: GND
    ${scale}
`,
  )
  .join('')}${more}`;
const files = Object.fromEntries(takes.map(({ name, bytes }) => [`${name}.wav`, bytes]));

describe('a healthy board, measured', () => {
  it.each(takes.map((one) => [one.name, one] as const))('%s alone: nothing is found', async (_, one) => {
    expect(await findingsOf(board([one]), files)).toEqual([]);
    expect(await findingsOf(board([one], '', 'probe: x1'), files)).toEqual([]);
  });

  it('all at once, with readings, a rework and what is expected of it: nothing is found', async () => {
    const text = board(
      takes,
      `readings:
  - V33: 3.29 V
  - {at: V33, ac: 4 mV}
  - J1.tip: 2 mV
  - J1.ring: -3 mV
  - U1.AOUTL: 1.64 V
  - U1.nRESET: 3.28 V
  - {between: [U1.AGND, J1.sleeve], ohms: 0.02 ohm, zeroed: yes}
  - U1.AGND GND: 0.4 ohm
  - Y1.1: 12.0003 MHz
reworks:
  - {name: new-crystal, did: fitted another crystal of the same kind, parts: {Y1: {value: 12 MHz, load: 10 pF}}}
expect:
  - stereo: {left: OUT_L, right: OUT_R, separation: 60 dB}
  - in-phase: [OUT_L, OUT_R]
  - level: {at: OUT_L, is: 198 mV, within: 0.5 dB}
  - balance: {left: OUT_L, right: OUT_R, within: 0.5 dB}
  - noise: {at: OUT_L, below: -90 dBV}
  - distortion: {at: OUT_L, below: 0.1 %}
  - supply: {at: V33, between: [3.2 V, 3.4 V], ripple: 20 mV}
  - dc: {at: J1.tip, between: [-20 mV, 20 mV]}
  - ohms: {between: [U1.AGND, J1.sleeve], is: 0.02 ohm, within: 0.1 ohm}
  - joined: [U1.AGND, J1.sleeve]
`,
    ).replace('  - Y1.1: 12.0003 MHz\n', '  - {at: Y1.1, frequency: 12.0003 MHz, state: new-crystal}\n');
    expect(await findingsOf(text, files)).toEqual([]);
  });

  it('the same, its last lines cut off while they are typed: nothing but the text is found', async () => {
    const text = board(takes.slice(0, 3));
    const told = new Set<string>();
    for (let end = text.indexOf('captures:'); end < text.length; end += 9)
      for (const finding of await findingsOf(text.slice(0, end), files)) told.add(finding);
    const aboutText =
      /^error (syntax|unknown-key|missing-key|wrong-type|bad-quantity|wrong-unit|unknown-reference|missing-file):/;
    expect([...told].filter((finding) => !aboutText.test(finding))).toEqual([]);
  });
});
