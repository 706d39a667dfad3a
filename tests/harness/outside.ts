import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, test } from 'vitest';
import { type NeedName, needs, places, pythonWithScipy, scipyWavs } from './needs';
import { root } from './tools';

/** What a program answered. `stdout` is UTF-8 text, `bytes` the same output untouched. */
export interface Ran {
  readonly status: number | null;
  readonly stdout: string;
  readonly bytes: Buffer;
  readonly stderr: string;
}

export interface RunOptions {
  readonly input?: string | Uint8Array;
  readonly cwd?: string;
  readonly env?: Record<string, string>;
}

const said = new Set<string>();

/**
 * For `test.skipIf(outside.missing('ngspice', 'scipy'))`: false when everything is there, else the line that says what to
 * install. With BUZZOUT_REQUIRE_OUTSIDE=1 it throws instead, so that the test file fails: nothing may be skipped unseen there.
 */
function missing(...names: NeedName[]): string | false {
  const absent = names.filter((name) => !needs[name].present());
  if (absent.length === 0) return false;
  const setups = [...new Set(absent.map((name) => needs[name].setup))].join(' && ');
  const line = `needs ${absent.join(', ')}: ${setups}`;
  if (process.env.BUZZOUT_REQUIRE_OUTSIDE === '1') throw new Error(line);
  if (!said.has(line)) console.log(`skipped: ${line}`);
  said.add(line);
  return line;
}

/**
 * A `describe` whose body asks outside programs while it is read, as for the rows of a table: where one is missing it is not read
 * at all, and one skipped test says what to install.
 */
function suite(names: readonly NeedName[], title: string, body: () => void): void {
  const absent = missing(...names);
  if (absent === false) describe(title, body);
  else describe.skip(title, () => test(absent, () => {}));
}

/** Runs a program to its end, in the C locale; its exit status is for the caller to judge. Throws when it cannot be started. */
function run(program: string, args: readonly string[], { input, cwd, env }: RunOptions = {}): Ran {
  const done = spawnSync(program, args, {
    input,
    cwd,
    env: { ...process.env, LC_ALL: 'C', ...env },
    maxBuffer: 512 * 1024 * 1024,
  });
  if (done.error) throw done.error;
  return { status: done.status, stdout: done.stdout.toString(), bytes: done.stdout, stderr: done.stderr.toString() };
}

/** Standard output of a Python script that may import numpy and scipy. Throws with its traceback when it fails. */
function python(script: string, options: RunOptions & { readonly args?: readonly string[] } = {}): string {
  const done = run(pythonWithScipy() ?? 'python3', ['-c', script, ...(options.args ?? [])], options);
  if (done.status !== 0) throw new Error(`python ended with ${done.status}:\n${done.stderr}`);
  return done.stdout;
}

/** A spoken channel test of alsa-utils, mono 48 kHz 16 bit: `voice('Front_Left')`. */
const voice = (name: string): string => join(places.voices, `${name}.wav`);

/** The same voices as Vorbis, from the freedesktop sound theme: `oggVoice('front-left')`. */
const oggVoice = (name: string): string => join(places.oggVoices, `audio-channel-${name}.oga`);

/** A FLAC of sonic-pi-samples: `sample('loop_amen')`. */
const sample = (name: string): string => join(places.samples, `${name}.flac`);

/** Folder of scipy's own WAV conformance files; ask `missing('scipy-wavs')` first. */
const wavFolder = (): string => scipyWavs() ?? '';

/** A file or folder of the `shared` folder beside the project, or null where there is none: such tests may always skip. */
function shared(path: string): string | null {
  const full = join(root, '..', 'shared', path);
  return existsSync(full) ? full : null;
}

export const outside = { missing, suite, run, python, voice, oggVoice, sample, wavFolder, shared, root };
