import { rank, type Severity } from '../text/finding';
import { boardSuffixes, kindOf, pinoutSuffixes } from '../workspace/files';
import { Workspace } from '../workspace/workspace';
import { type CheckedFile, findingsJson } from './json';
import { findingsJunit } from './junit';
import { findingsSarif } from './sarif';
import { findingsText } from './text';
import { oneOf, readOptions, type Surroundings, Usage, type Verb } from './verb';

const severities = ['error', 'warning', 'info', 'hint'] as const satisfies readonly Severity[];

export const check: Verb = {
  name: 'check',
  summary: 'every finding of boards and pinouts',
  help: `buzzout check PATH… [--format text|json|sarif|junit] [--threshold error|warning|info|hint]

Prints every finding of the boards and pinouts named; folders are walked.
A path of - reads a board from standard input.

  --format      text (default), json, sarif (2.1.0) or junit
  --threshold   findings from here up make the exit status 1; default warning

Exit status: 0 nothing at or above the threshold, 1 findings, 2 bad usage or an unreadable file.`,
  async run(args, around) {
    const options = readOptions(args, ['--format', '--threshold'], []);
    const format = oneOf(options, '--format', ['text', 'json', 'sarif', 'junit'], 'text');
    const threshold = oneOf(options, '--threshold', severities, 'warning');
    if (options.rest.length === 0) throw new Usage('name a board, a pinout or a folder');
    const { uris, unreadable } = await gather(options.rest, around);
    const files: CheckedFile[] = [];
    let failed = unreadable;
    for (const { uri, text } of uris) {
      // Its own folder and below: what a board finds does not depend on what else was named.
      const workspace = new Workspace(around.files, around.compute);
      if (text !== undefined) workspace.texts.set(uri, text, 1);
      const analysis = await workspace.settled(uri);
      if (analysis.kind === 'failed') failed = true;
      files.push({ analysis, path: text === undefined ? around.toPath(uri) : '-', shown: around.toPath });
    }
    const write = {
      text: () => findingsText(files, around),
      json: () => findingsJson(files),
      sarif: () => findingsSarif(files, around.version),
      junit: () => findingsJunit(files, threshold),
    };
    // Where nothing could be read, what was said of it is all there is to say.
    if (files.length > 0 || format !== 'text') around.out(write[format]());
    if (failed) return 2;
    return files.some((file) => file.analysis.findings.some((finding) => rank(finding.severity) <= rank(threshold)))
      ? 1
      : 0;
  },
};

/** The files that paths name; what cannot be found is told on the error stream. */
async function gather(
  paths: readonly string[],
  around: Surroundings,
): Promise<{ uris: { uri: string; text?: string }[]; unreadable: boolean }> {
  const uris = new Map<string, { uri: string; text?: string }>();
  let unreadable = false;
  const complain = (text: string) => {
    unreadable = true;
    around.err(`buzzout: ${text}\n`);
  };
  for (const path of paths) {
    if (path === '-') {
      const uri = `${around.folder}standard-input.board.yaml`;
      uris.set(uri, { uri, text: new TextDecoder().decode(await around.standardInput()) });
      continue;
    }
    const uri = around.toUri(path);
    const stat = await around.files.stat(uri);
    if (!stat) complain(`there is no file or folder ${path}`);
    else if (stat.kind === 'folder') {
      const found = await around.files.find(uri, [...boardSuffixes, ...pinoutSuffixes]);
      if (found.length === 0) complain(`${path} holds no *.board.yaml and no *.pinout.yaml`);
      for (const file of found) uris.set(file, { uri: file });
    } else {
      if (!kindOf(uri)) complain(`${path} is neither a *.board.yaml nor a *.pinout.yaml`);
      else uris.set(uri, { uri });
    }
  }
  return { uris: [...uris.values()], unreadable };
}
