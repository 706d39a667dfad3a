import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { checkNames } from '../../server/src/dialect/check-names';
import { hintKinds } from '../../server/src/editor/inlay-hints';
import { tokenModifiers, tokenTypes } from '../../server/src/editor/semantic-tokens';

const { contributes } = JSON.parse(readFileSync(join(__dirname, '../../package.json'), 'utf8'));
const settings = contributes.configuration.properties;

test('the settings offered are those that are read, and say the defaults of the tables', () => {
  const limits = settings['buzzout.limits'].properties as Record<string, { description: string }>;
  const wanted = [...checkNames.values()].flatMap(({ name, limit }) => (limit ? [[name, limit.value] as const] : []));
  expect(Object.keys(limits).sort()).toEqual(wanted.map(([name]) => name).sort());
  for (const [name, value] of wanted) expect(limits[name]!.description).toContain(`${value} where nothing is said`);
  expect(Object.keys(settings['buzzout.hints'].properties)).toEqual([...hintKinds]);
});

test('every kind of token the server may send is declared', () => {
  expect(contributes.semanticTokenTypes.map(({ id }: { id: string }) => id)).toEqual([...tokenTypes]);
  const own = tokenModifiers.filter((modifier) => modifier !== 'declaration');
  expect(contributes.semanticTokenModifiers.map(({ id }: { id: string }) => id)).toEqual(own);
});
