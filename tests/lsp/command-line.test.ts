import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { Client } from '../harness/lsp';

test('buzzout server --stdio is the language server, for any editor', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'buzzout-stdio-'));
  const client = await Client.start(folder, {
    entry: [join(__dirname, '../../dist/buzzout.cjs'), 'server', '--stdio'],
  });
  try {
    expect(client.initialized?.serverInfo?.name).toBe('buzzout');
    const uri = pathToFileURL(join(folder, 'a.board.yaml')).href;
    await client.open(uri, 'board: a\nparts:\n  R4: 4k7 volt\n  Q1: {knid: npn}\n');
    const found = await client.diagnostics(uri, (set) => set.length > 0);
    expect(found.map((one) => one.code)).toContain('unknown-key');
  } finally {
    await client.stop();
    rmSync(folder, { recursive: true, force: true });
  }
});
