import type { Net } from '../../board/net';
import { code, prose } from '../markdown';
import { ohms, voltRange } from './quantities';

/** What `nets` says of a net, a line a fact. */
export function netFacts(net: Net): string[] {
  const facts: (string | undefined)[] = [
    net.role === undefined ? 'no role stated' : `${code(net.role)}${net.channel ? `, ${net.channel}` : ''}`,
    net.volts && `${net.volts.ends ? 'range' : 'nominal'} ${voltRange(net.volts)}`,
    net.load === undefined ? undefined : `load ${ohms(net.load)} to ground`,
    net.complete ? 'everything on it is listed' : undefined,
    net.note === undefined ? undefined : prose(net.note),
  ];
  return facts.filter((fact) => fact !== undefined && fact !== '') as string[];
}
