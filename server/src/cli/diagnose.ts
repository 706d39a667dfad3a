import { cautionsOf } from '../board/cautions';
import { diagnosed } from '../checks/diagnosis/diagnosed';
import type { Diagnosis } from '../diagnosis/causes/types';
import { diagnosisLines } from '../editor/describe/diagnosis';
import { jsonNumber } from './json';
import { oneBoard } from './one-board';
import { readOptions, type Verb } from './verb';
import { toColumns } from './wrap';

export const diagnose: Verb = {
  name: 'diagnose',
  summary: 'which causes explain all measurements, and which probe tells most',
  help: `buzzout diagnose BOARD [--json]

Works out the board under every cause thought of, holds each against every capture and reading, and tells which
explain them, how likely each is, what can be done, and what to measure next.

  --json   causes and next probes as JSON

Exit status: 0, or 2 for bad usage or an unreadable file.`,
  async run(args, around) {
    const options = readOptions(args, [], ['--json']);
    const analysis = await oneBoard(options, around);
    if (!analysis) return 2;
    const diagnosis = diagnosed(analysis.snapshot);
    const cautions = cautionsOf(analysis.snapshot.board).map(({ text }) => text);
    around.out(
      options.flags.has('--json') ? diagnoseJson(diagnosis) : toColumns(diagnosisLines(diagnosis, cautions), around),
    );
    return 0;
  },
};

/** The stable fields of the contract first, with everything else beside them. A meter's stimulus is told in words. */
function diagnoseJson({ causes, next, ...rest }: Diagnosis): string {
  const told = {
    causes,
    next: next.map(({ probe, stimulus, gain, instrument, ...more }) => ({
      probe: probe.join(' '),
      stimulus: stimulus ?? (instrument === 'ohms' ? 'power off' : 'silence'),
      gain,
      instrument,
      ...more,
    })),
    ...rest,
  };
  return `${JSON.stringify(told, jsonNumber, 2)}\n`;
}
