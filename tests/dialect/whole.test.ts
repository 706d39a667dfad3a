import { expect, test } from 'vitest';
import { parseBoard, parsePinout } from '../../server/src/dialect/parse';
import { board, more, pinout } from './texts';

const words = (list: { value?: readonly { text: string }[] } | undefined) => list?.value?.map((word) => word.text);

test('the whole board of the contract reads without a problem, with the values it shows', () => {
  const { value: file, problems, broken } = parseBoard(board);
  expect(problems).toEqual([]);
  expect(broken).toEqual([]);
  const it = file.value!;
  expect(it.board?.value).toBe('Lantern Hall audio guide, handset main board');
  expect(it.cautions?.value?.map((caution) => caution.value)).toEqual(['lithium-cell']);

  const parts = Object.fromEntries(it.parts!.value!.map(({ key, value }) => [key.text, value]));
  expect(Object.keys(parts)).toEqual(['U1', 'Y1', 'C7', 'C8', 'R4', 'R5', 'R6', 'R7', 'C12', 'J2', 'BT1']);
  expect(parts.U1!.map?.value?.marking?.value).toBe('FW2210-C 2419');
  expect(parts.C7!.scalar?.value).toBe('22 uF 6.3 V');
  expect(parts.R6!.map?.value?.code?.value).toBe('102');
  expect(parts.R7!.map?.value?.code?.value).toBe('102');
  expect(parts.J2!.map?.value?.load?.value).toMatchObject({ value: 10_000, dimension: 'resistance' });
  expect(parts.BT1!.map?.value?.value?.value).toMatchObject({ value: 3.7, dimension: 'voltage' });

  const traces = it.traces!.value!;
  expect(traces.buzzed?.value?.map(words)).toEqual([
    ['U1.14', 'C7.+'],
    ['U1.13', 'C8.+'],
    ['C7.-', 'R4.1'],
    ['C8.-', 'R5.1'],
    ['U1.2', 'J2.sleeve', 'GND'],
  ]);
  expect(traces.seen?.value?.map(words).at(-1)).toEqual(['U1.16']);
  expect(traces.apart?.value?.map(words)).toEqual([['VSYS', 'GND']]);

  const vsys = it.nets!.value!.find((net) => net.key.text === 'VSYS')!.value.value!;
  expect(vsys.role?.value).toBe('supply');
  expect(vsys.volts?.value).toMatchObject({ ends: false, min: { value: 3.3 }, max: { value: 3.3 } });

  const [first, second] = it.readings!.value!;
  expect(first!.short?.key.text).toBe('VSYS');
  expect(first!.short?.value.value).toMatchObject({ value: 3.28, dimension: 'voltage' });
  expect(second!.short?.key.text).toBe('U1.2 J2.sleeve');
  expect(second!.short?.value.value).toMatchObject({ value: 0.3, dimension: 'resistance' });

  const capture = it.captures!.value![0]!.value.value!;
  expect(capture.file?.value).toBe('captures/tone-left.wav');
  expect(capture.stimulus?.map?.value?.tone?.value?.value).toBe(997);
  expect(capture.stimulus?.map?.value?.level?.value).toMatchObject({ value: -12, unit: 'dBFS' });
  expect(capture.channels?.value?.map((entry) => [entry.key.text, words(entry.value)])).toEqual([
    ['1', ['OUT_L']],
    ['2', ['OUT_R']],
  ]);
  expect(capture['full-scale']?.value?.value).toBe(1.42);

  const [stereo, supply] = it.expect!.value!;
  expect(stereo!.value?.stereo?.value?.separation?.value).toMatchObject({ value: 40, dimension: 'ratio-db' });
  expect(supply!.value?.supply?.value?.between?.value).toMatchObject({ min: { value: 3.2 }, max: { value: 3.4 } });
});

test('the rest of a board: reworks, acceptances, limits, verdict', () => {
  const { value: file, problems } = parseBoard(`${board}${more}`);
  expect(problems).toEqual([]);
  const it = file.value!;
  expect(it.complete?.value).toBe(false);
  expect(it.pinouts?.value?.map((path) => path.value)).toEqual([
    'sheets/*.pinout.yaml',
    'my sheets/fw2210.pinout.yaml',
  ]);
  const rework = it.reworks!.value![0]!.value!;
  expect(rework.did?.value).toBe('Fitted two bleeders.\nCleaned the jack: no more crackle.');
  expect(rework.date?.value).toBe('2031-05-04');
  expect(rework.parts?.value?.map(({ key, value }) => [key.text, value.scalar?.value])).toEqual([
    ['R12', '47 k'],
    ['R13', '47 k'],
    ['C12', '~'],
  ]);
  expect(rework.traces?.value?.buzzed?.value?.map(words)).toEqual([
    ['R12.1', 'OUT_L'],
    ['R13.1', 'OUT_R'],
  ]);
  expect(it.accepted!.value![0]!.value?.because?.value).toBe('the cable is a hand long');
  expect(it.limits?.value?.map((limit) => limit.value.value?.value)).toEqual([20, -50]);
  expect(it.verdict?.value?.note?.value).toBe('The chip drives one bridge; it was never meant for a mono lead.');
});

test('the whole pinout of the contract reads without a problem, with the values it shows', () => {
  const { value: file, problems } = parsePinout(pinout);
  expect(problems).toEqual([]);
  const it = file.value!;
  expect(it.pinout?.value).toBe('fw2210');
  expect(it.source?.value?.revision?.value).toBe('1.3');
  expect(it.source?.value?.page?.value).toBe(6);
  expect(it.package?.map?.value?.pins?.value).toBe(16);
  expect(it.markings?.value?.map((marking) => marking.value)).toEqual(['FW2210-?*']);
  const pins = Object.fromEntries(it.pins!.value!.map(({ key, value }) => [key.text, value]));
  expect(pins[2]!.scalar?.value).toBe('VSS');
  expect(pins[1]!.map?.value?.volts?.value).toMatchObject({ min: { value: 3 }, max: { value: 4.3 }, ends: true });
  expect(pins[14]!.map?.value?.['full-scale']?.value?.value).toBe(0.9);
  expect(it.modes?.value?.map((mode) => mode.key.text)).toEqual(['stereo', 'differential', 'mono']);
  const right = it.modes!.value![1]!.value.value!.find((output) => output.key.text === 'DACR')!;
  expect(right.value.value?.left?.value).toBe(-0.5);
});

test('sections of a pinout', () => {
  const text =
    'pinout: quad\nsections: {A: {kind: op-amp, plus: 3, minus: 2, out: 1}, P: {kind: amplifier, plus: 4, out: [5, 8], gain: 20 dB}, R: {kind: regulator, in: 1, out: 5, volts: 3.3 V}}\n';
  const { value: file, problems } = parsePinout(text);
  expect(problems).toEqual([]);
  const [a, p, r] = file.value!.sections!.value!.map((section) => section.value.value!);
  expect(words(a!.out)).toEqual(['1']);
  expect(words(p!.out)).toEqual(['5', '8']);
  expect(p!.gain?.value?.value).toBe(20);
  expect(r!.volts?.value?.value).toBe(3.3);
});
