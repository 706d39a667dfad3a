import { copyFileSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { diskFiles } from '../../server/src/cli/disk';
import { sameThread } from '../../server/src/workspace/compute';
import { Workspace } from '../../server/src/workspace/workspace';
import { buzzout } from '../harness/cli';
import { outside } from '../harness/outside';

/*
 * Real programme on a healthy board: sonic-pi-samples (CC0) and the spoken channel tests of alsa-utils (GPL-2), from Debian; real
 * scope files of scottprahl/RigolWFM (BSD-3), where the folder beside the project has them. Naturally near-antiphase content
 * among them is no wiring fault.
 */

const folder = mkdtempSync(join(tmpdir(), 'buzzout-programme-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const board = (file: string, stimulus: string, channels = '{1: OUT_L, 2: OUT_R}') => `board: A healthy player
complete: true
parts:
  U1: {pins: {1: {name: VDD, volts: [3.0 V, 3.6 V]}, 2: VSS, 3: {name: AOUTL, return: 2}, 4: {name: AOUTR, return: 2}}}
  C1: 100 nF
  J1: jack-trs
traces:
  buzzed:
    - U1.1 C1.1 VDD
    - U1.2 C1.2 J1.sleeve GND
    - U1.3 J1.tip OUT_L
    - U1.4 J1.ring OUT_R
nets:
  VDD: {role: supply, volts: 3.3 V}
  GND: {role: ground}
  OUT_L: {role: audio-out, channel: left}
  OUT_R: {role: audio-out, channel: right}
captures:
  take:
    file: ${file}
    stimulus: ${stimulus}
    channels: ${channels}
`;

async function stereoAlarms(text: string): Promise<string[]> {
  const path = join(folder, 'healthy.board.yaml');
  writeFileSync(path, text);
  const workspace = new Workspace(diskFiles, sameThread(diskFiles));
  const analysis = await workspace.settled(pathToFileURL(path).href);
  expect(analysis.findings.filter((finding) => finding.severity === 'error')).toEqual([]);
  return analysis.findings
    .map((finding) => finding.check)
    .filter((check) => /^channels?-/.test(check) || check === 'capture-clipped' || check === 'cause-likely');
}

outside.suite(['sox', 'flac', 'sonic-samples'], 'real programme raises no stereo alarm', () => {
  const names = [
    'loop_amen_full',
    'loop_tabla',
    'bass_thick_c',
    'loop_amen',
    'guit_em9',
    'ambi_lunar_land',
    'vinyl_hiss',
    'perc_bell',
  ];
  test.each(names)('%s', async (name) => {
    const wav = join(folder, `${name}.wav`);
    expect(outside.run('sox', [outside.sample(name), wav]).status).toBe(0);
    expect(await stereoAlarms(board(basename(wav), 'programme'))).toEqual([]);
    expect(await stereoAlarms(board(basename(wav), '{programme: music}'))).toEqual([]);
  });
});

outside.suite(['sox', 'alsa-voices'], 'spoken channel tests raise no stereo alarm', () => {
  const two = join(folder, 'two-voices.wav');
  beforeAll(() => {
    expect(outside.run('sox', ['-M', outside.voice('Front_Left'), outside.voice('Front_Right'), two]).status).toBe(0);
  });
  test('two voices, unlike on the two sides', async () => {
    expect(await stereoAlarms(board(basename(two), '{programme: speech, side: unlike}'))).toEqual([]);
  });
});

const scopes = outside.shared('scope-captures');
describe.skipIf(!scopes)('real scope files raise no stereo alarm', () => {
  const files = scopes ? readdirSync(scopes).filter((name) => name.endsWith('.csv')) : [];
  test.each(files)('%s', async (name) => {
    copyFileSync(join(scopes!, name), join(folder, name));
    // Some were saved from one channel alone.
    const { out } = await buzzout(folder, ['measure', name, '--json']);
    const channels = JSON.parse(out).channels.length > 1 ? undefined : '{1: OUT_L}';
    expect(await stereoAlarms(board(name, 'programme', channels))).toEqual([]);
  });
});
