import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Complex } from '../../../server/src/circuit/complex';
import type { Element, Netlist } from '../../../server/src/circuit/netlist';
import { outside } from '../../harness/outside';

/** Node voltages by name at each frequency asked for; 0 is the operating point. */
export type Answer = ReadonlyMap<number, ReadonlyMap<string, Complex>>;

/**
 * Solves several networks with one run of ngspice, side by side on the ground they share. Numbers come back as a raw
 * file, whole doubles. Throws when ngspice complains, since it ends with status 0 whatever it thought.
 */
export function spice(netlists: readonly Netlist[], frequencies: readonly number[]): Answer[] {
  const folder = mkdtempSync(join(tmpdir(), 'spice-'));
  try {
    const file = join(folder, 'board.cir');
    writeFileSync(file, deck(netlists, frequencies));
    const run = outside.run('ngspice', ['-b', file], { cwd: folder });
    // A slow run tells how far it is ("Reference value"): no complaint.
    const said = run.stderr
      .split('\n')
      .filter((line) => line.trim() && !/^Note: |^$|No compatibility mode|^ ?Reference value :/.test(line));
    if (run.status !== 0 || said.length > 0) throw new Error(`ngspice ended with ${run.status}: ${said.join('\n')}`);
    const answers = netlists.map(() => new Map<number, Map<string, Complex>>());
    for (const [k, frequency] of frequencies.entries()) {
      const volts = rawFile(readFileSync(join(folder, `${k}.raw`), 'utf8'));
      for (const [n, answer] of answers.entries()) {
        const own = [...volts].filter(([node]) => node.startsWith(`${n}_`));
        answer.set(frequency, new Map(own.map(([node, value]) => [node.slice(`${n}_`.length), value])));
      }
    }
    return answers;
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The circuit file and its commands. */
export function deck(netlists: readonly Netlist[], frequencies: readonly number[]): string {
  const lines = netlists.flatMap((netlist, n) =>
    netlist.elements.flatMap((element) => card(element, `${n}_`, netlist.reference)),
  );
  const commands = frequencies.flatMap((frequency, k) => [
    frequency === 0 ? 'op' : `ac lin 1 ${frequency} ${frequency}`,
    `write ${k}.raw`,
  ]);
  return ['* networks', ...lines, '.control', 'set filetype=ascii', ...commands, 'quit 0', '.endc', '.end', ''].join(
    '\n',
  );
}

function card(element: Element, prefix: string, reference: string): string[] {
  const node = (name: string) => (name === reference ? '0' : prefix + name);
  const name = prefix + element.name;
  const inner = `${name}_inner`;
  if (element.kind === 'op-amp') {
    // ngspice has no ideal one: a gain of 1e9 stands in, an error of 1e-9 times the noise gain.
    return [`E${name} ${node(element.out)} 0 ${node(element.plus)} ${node(element.minus)} 1e9`];
  }
  const ends = `${node(element.a)} ${node(element.b)}`;
  /** A part from `a` to an inner node, and what is in series with it from there to `b`. */
  const inSeries = (ohms: number | undefined, part: (ends: string) => string): string[] =>
    ohms ? [part(`${node(element.a)} ${inner}`), `R${name} ${inner} ${node(element.b)} ${ohms}`] : [part(ends)];
  const strength = (source: { dc?: number; ac?: number; phase?: number }) =>
    `dc ${source.dc ?? 0} ac ${source.ac ?? 0} ${source.phase ?? 0}`;
  switch (element.kind) {
    case 'resistor':
      // ngspice makes 1 mΩ of 0 Ω; a source of 0 V is a join.
      return element.ohms === 0 ? [`V${name} ${ends} 0`] : [`R${name} ${ends} ${element.ohms}`];
    case 'capacitor':
      return inSeries(element.esr, (between) => `C${name} ${between} ${element.farads}`);
    case 'inductor':
      return inSeries(element.dcr, (between) => `L${name} ${between} ${element.henries}`);
    case 'load':
      return [`R${name} ${ends} ${element.ohms}`, ...(element.farads ? [`C${name} ${ends} ${element.farads}`] : [])];
    case 'voltage':
      return inSeries(element.ohms, (between) => `V${name} ${between} ${strength(element)}`);
    case 'current':
      return [`I${name} ${ends} ${strength(element)}`];
    case 'vcvs': {
      const control = `${node(element.plus)} ${node(element.minus)} ${element.gain}`;
      return inSeries(element.ohms, (between) => `E${name} ${between} ${control}`);
    }
    case 'vccs':
      return [`G${name} ${ends} ${node(element.plus)} ${node(element.minus)} ${element.siemens}`];
    case 'diode':
      throw new Error('ngspice has no first-order diode');
  }
}

/** The node voltages of an ASCII raw file of one point, real or complex. */
function rawFile(text: string): Map<string, Complex> {
  const [head, values] = text.split(/^Values:\s*$/m);
  const names = [...head!.split(/^Variables:\s*$/m)[1]!.matchAll(/^\s+\d+\s+(\S+)\s+(\S+)/gm)];
  const numbers = values!.trim().split(/\s+/).slice(1);
  const volts = new Map<string, Complex>();
  for (const [k, [, name, kind]] of names.entries()) {
    const [re, im] = numbers[k]!.split(',').map(Number);
    const node = /^v\((.*)\)$/.exec(name!)?.[1] ?? name!;
    if (kind === 'voltage') volts.set(node, { re: re!, im: im ?? 0 });
  }
  return volts;
}
