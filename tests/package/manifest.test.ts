import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { languageIds } from '../../client/src/languages';
import manifest from '../../package.json';
import { root } from '../harness/tools';
import { limitsSchema } from './limits-schema';

const { contributes } = manifest;
const client = readdirSync(join(root, 'client/src'), { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => readFileSync(join(root, 'client/src', name), 'utf8'))
  .join('\n');

test('every file the manifest names is there', () => {
  const named = [
    manifest.icon,
    ...contributes.languages.flatMap(({ configuration, icon }) => [configuration, icon.light, icon.dark]),
    ...contributes.grammars.map(({ path }) => path),
    ...contributes.walkthroughs.flatMap(({ steps }) => steps.map(({ media }) => media.markdown)),
  ];
  expect(named.filter((path) => !existsSync(join(root, path)))).toEqual([]);
});

test('every command offered is one the client answers, and the other way round', () => {
  const literal = [...client.matchAll(/registerCommand\('([^']+)'/g)].map((match) => match[1]);
  const [, listed] = /const pageCommands = \[([^\]]+)\]/.exec(client) ?? [];
  const pages = [...listed!.matchAll(/'([^']+)'/g)].map((match) => `buzzout.${match[1]}`);
  const answered = [...literal, ...pages];
  expect(contributes.commands.map(({ command }) => command).sort()).toEqual(answered.sort());
});

test('every command a walkthrough offers is ours or the workbench’s, and finishes its step', () => {
  const ours = contributes.commands.map(({ command }) => command);
  for (const { description, completionEvents } of contributes.walkthroughs.flatMap(({ steps }) => steps)) {
    const command = /\(command:([^)]+)\)/.exec(description)?.[1];
    if (command?.startsWith('buzzout.')) expect(ours).toContain(command);
    // A step that takes a while is finished by what it set out to do, which the client tells as a context.
    const [event] = completionEvents ?? [];
    const context = event?.startsWith('onContext:buzzout.') ? event.slice('onContext:buzzout.'.length) : undefined;
    if (context !== undefined) expect(client).toContain(`'buzzout.${context}'`);
    else if (command) expect(completionEvents).toEqual([`onCommand:${command}`]);
  }
});

test('the client speaks for the languages the manifest registers, each with a grammar', () => {
  expect(contributes.languages.map(({ id }) => id)).toEqual(languageIds);
  expect(contributes.grammars.map(({ language }) => language)).toEqual(languageIds);
});

test('the settings offer a threshold for every check that has one, and no other', () => {
  expect(contributes.configuration.properties['buzzout.limits'].properties).toEqual(limitsSchema());
});

test('packages are pinned to exact versions, and the lock names no host', () => {
  const versions = Object.values({ ...manifest.dependencies, ...manifest.devDependencies });
  expect(versions.filter((version) => !/^\d+\.\d+\.\d+(-[\w.]+)?$/.test(version))).toEqual([]);
  expect(readFileSync(join(root, 'package-lock.json'), 'utf8')).not.toContain('"resolved"');
});
