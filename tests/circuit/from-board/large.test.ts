import { expect, it } from 'vitest';
import { benchOf, numberOf } from './bench';

it('a board of fourteen hundred parts has the levels of the closed form', async () => {
  const sections = Array.from({ length: 700 }, (_, k) => k + 10);
  const text = `board: Large
parts:
  U1: {pinout: player}
  R1: 1 k
  R2: 4.7 k
  J2: {style: jack-trs, load: 10 k}
${sections.map((k) => `  R${k}: 1 k\n  C${k}: 100 nF`).join('\n')}
nets: {GND: {role: ground}, VSYS: {role: supply, volts: 3.3 V}}
traces:
  buzzed:
    - U1.OUTL R1.1
    - R1.2 R2.1 J2.tip
    - U1.VSS GND J2.sleeve R2.2 ${sections.map((k) => `C${k}.2`).join(' ')}
    - VSYS ${sections.map((k) => `R${k}.1`).join(' ')}
${sections.map((k) => `    - R${k}.2 C${k}.1`).join('\n')}
`;
  const way = (await benchOf(text)).way('J2.tip');
  const end = 1 / (1 / 4700 + 1 / 10e3);
  expect(numberOf(way.loss)).toBeCloseTo(20 * Math.log10(end / (50 + 1000 + end)), 6);
});
