import { bench, uriOf } from '../harness/memory';
import { sheets } from './sheets';

const pinouts = Object.fromEntries(Object.entries(sheets).map(([name, text]) => [`${name}.pinout.yaml`, text]));

/** Check and message of everything found on a board. */
export async function findingsOf(text: string, files: Readonly<Record<string, string | Uint8Array>> = {}) {
  const { workspace } = bench({ ...pinouts, ...files, 'a.board.yaml': text });
  const { findings } = await workspace.settled(uriOf('a.board.yaml'));
  return findings.map((finding) => `${finding.severity} ${finding.check}: ${finding.message}`);
}
