import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { installed, tools } from './tools';

/** What tests lean on outside the project, by the name a test asks for; `debian` are the packages that bring it. */
export interface Need {
  readonly debian: readonly string[];
  /** The command that installs it. */
  readonly setup: 'npm run setup:outside' | 'npm run setup:editor';
  readonly present: () => boolean;
}

export const places = {
  voices: '/usr/share/sounds/alsa',
  oggVoices: '/usr/share/sounds/freedesktop/stereo',
  samples: '/usr/share/sonic-pi/samples',
} as const;

const outside = (debian: string[], present: () => boolean): Need => ({
  debian,
  setup: 'npm run setup:outside',
  present: once(present),
});
const editor = (debian: string[], present: () => boolean): Need => ({
  debian,
  setup: 'npm run setup:editor',
  present: once(present),
});

export const needs = {
  ngspice: outside(['ngspice'], () => onPath('ngspice')),
  sox: outside(['sox'], () => onPath('sox')),
  flac: outside(['flac'], () => onPath('flac')),
  vorbis: outside(['vorbis-tools'], () => onPath('oggdec')),
  python: outside(['python3'], () => onPath('python3')),
  scipy: outside(['python3-numpy', 'python3-scipy'], () => pythonWithScipy() !== undefined),
  /** The WAV conformance files scipy carries among its own tests; a distribution may have left them out. */
  'scipy-wavs': outside(['python3-scipy'], () => scipyWavs() !== undefined),
  'alsa-voices': outside(['alsa-utils'], () => existsSync(join(places.voices, 'Front_Left.wav'))),
  'ogg-voices': outside(['sound-theme-freedesktop'], () =>
    existsSync(join(places.oggVoices, 'audio-channel-front-left.oga')),
  ),
  'sonic-samples': outside(['sonic-pi-samples'], () => existsSync(join(places.samples, 'loop_amen.flac'))),
  /** An editor with a language client of its own. */
  neovim: outside(['neovim'], () => onPath('nvim')),
  chromium: editor(['chromium', 'fonts-dejavu-core'], () => existsSync('/usr/bin/chromium')),
  editor: editor([], () => installed(tools.editor)),
  'web-editor': editor([], () => installed(tools.webEditor)),
} as const;

export type NeedName = keyof typeof needs;

let python: string | null | undefined;

/** The first Python that can import numpy and scipy: the one on PATH, else Debian's own. */
export function pythonWithScipy(): string | undefined {
  if (python === undefined) {
    const probe = 'import sys, numpy, scipy; print(sys.executable)';
    const found = ['python3', '/usr/bin/python3'].map((name) => spawnSync(name, ['-c', probe], { encoding: 'utf8' }));
    python = found.find((run) => run.status === 0)?.stdout.trim() ?? null;
  }
  return python ?? undefined;
}

let wavs: string | null | undefined;

/** The folder of scipy's own WAV test files. */
export function scipyWavs(): string | undefined {
  const interpreter = pythonWithScipy();
  if (wavs === undefined && interpreter) {
    const where = 'import os, scipy; print(os.path.join(os.path.dirname(scipy.__file__), "io", "tests", "data"))';
    const folder = spawnSync(interpreter, ['-c', where], { encoding: 'utf8' }).stdout.trim();
    wavs = existsSync(folder) && readdirSync(folder).some((name) => name.endsWith('.wav')) ? folder : null;
  }
  return wavs ?? undefined;
}

/** Whether a command can be started by its name. */
export function onPath(command: string): boolean {
  return (process.env.PATH ?? '').split(delimiter).some((folder) => existsSync(join(folder, command)));
}

function once(probe: () => boolean): () => boolean {
  let answer: boolean | undefined;
  return () => {
    answer ??= probe();
    return answer;
  };
}
