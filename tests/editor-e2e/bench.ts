import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { sine, writeWav } from '../harness/wav';
import { freshFolder } from './server';

export const boardName = 'player.board.yaml';
const tone = 'captures/tone.wav';

const board = `board: Hall player
parts:
  U1: {pinout: xq2}
  C7: 22 uF 6.3 V
  J2: jack-trs
traces:
  buzzed:
    - U1.DACL C7.+
    - J2.tip OUT_L
    - J2.ring OUT_R
nets:
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
captures:
  tone-both:
    file: ${tone}
    stimulus: {tone: 997 Hz, side: both}
    channels: {1: OUT_L, 2: OUT_R}
`;

const pinout = `pinout: xq2
pins:
  1: VDD
  2: GND
  3: {name: DACR, role: audio-out, channel: right, return: 2}
  4: {name: DACL, role: audio-out, channel: left, return: 2}
`;

/** A folder to open in an editor: one board whose recording has its sides in antiphase, and the pinout it needs. */
export function layBench(): string {
  const folder = freshFolder('bench');
  mkdirSync(join(folder, 'captures'));
  writeFileSync(join(folder, boardName), board);
  writeFileSync(join(folder, 'xq2.pinout.yaml'), pinout);
  record(folder, 180);
  return folder;
}

/** Writes the bench's recording anew: 997 Hz on both sides, the second `degrees` behind the first. */
export const record = (folder: string, degrees: number): void =>
  writeWav(join(folder, tone), [sine(997, 0.25), sine(997, 0.25, degrees)], 0.5);
