import { checkNames } from './check-names';
import { pinType } from './pinout-file';
import {
  choice,
  either,
  entries,
  flag,
  key,
  list,
  meterQuantity,
  quantity,
  type Read,
  range,
  record,
  recordOrShort,
  requiredKey,
  swing,
  text,
  textOr,
  valueOfPart,
  words,
} from './type';
import * as vocabulary from './words';

/** A part as a map. */
export const partKeys = {
  value: key(
    valueOfPart('resistance', 'capacitance', 'inductance', 'frequency', 'voltage', 'current'),
    'Its value, in the unit its kind has; of a diode, transistor or chip its type.',
    'value: 470',
  ),
  code: key(text(), 'What is printed on it: IEC 60062, three or four digits, EIA-96.', 'code: "102"'),
  pinout: key(text('pinout'), 'The pinout file that describes it.', 'pinout: fw2210'),
  candidates: key(words('pinout'), 'Pinouts it might be.', 'candidates: [fw2210, fw2211]'),
  marking: key(text(), 'What is printed on a chip.', 'marking: "FW2210-C 2419"'),
  package: key(text(), 'Its package.', 'package: sop-16'),
  mode: key(text('mode'), 'The output mode it is believed to run in.', 'mode: stereo'),
  rating: key(quantity('voltage', 'current', 'power'), 'What it may be exposed to.', 'rating: 6.3 V'),
  tolerance: key(quantity('percent', 'ppm'), 'How far it may be off.', 'tolerance: 5 %'),
  polarised: key(flag(), 'A capacitor with a + and a −.', 'polarised: yes'),
  esr: key(quantity('resistance'), 'Equivalent series resistance.', 'esr: 0.3 ohm'),
  dcr: key(quantity('resistance'), 'DC resistance of a coil or ferrite.', 'dcr: 0.2 ohm'),
  style: key(choice(vocabulary.styles), 'Style of a connector; it brings the contacts.', 'style: jack-trs'),
  contacts: key(
    words('contact'),
    'Contacts beyond those of the style, or all of them.',
    'contacts: [tip, ring, sleeve, detect]',
  ),
  wiring: key(choice(vocabulary.wirings), 'What the contacts carry.', 'wiring: balanced'),
  load: key(
    quantity('resistance', 'capacitance'),
    'What gets plugged in, from each contact to its return; of a crystal its load capacitance.',
    'load: 10 k',
  ),
  stray: key(quantity('capacitance'), 'Capacitance across a crystal; 3 pF where not stated.', 'stray: 3 pF'),
  chemistry: key(choice(vocabulary.chemistries, true), 'What a cell is made of.', 'chemistry: lithium-ion'),
  kind: key(choice(vocabulary.kinds), 'What it is, where the designator does not say.', 'kind: npn'),
  pins: key(
    either({
      scalar: words('pin-name'),
      list: words('pin-name'),
      map: entries('free', 'a pin number', pinType),
    }),
    'An inline pinout: pin → name or map, or the names in order.',
    'pins: B E C',
  ),
  note: key(text(), 'Anything else worth knowing.', 'note: replaced in 2019'),
} as const;

export const partType = either({ scalar: textOr(vocabulary.notFitted), map: record(partKeys) });
export const partsType = entries('part', 'a reference designator', partType);

const joins = list(words('point'));
export const tracesType = record({
  buzzed: key(joins, 'Joins the meter beeped on.', 'buzzed: [[U1.14, C7.+]]'),
  seen: key(joins, 'Joins followed by eye.', 'seen: [R4.2 J2.tip]'),
  assumed: key(joins, 'Joins that are a guess, still to be proven.', 'assumed: [U1.7 VSYS]'),
  apart: key(joins, 'Points that do not beep with one another.', 'apart: [VSYS GND]'),
});

export const netKeys = {
  role: key(choice(vocabulary.netRoles), 'What the net is for.', 'role: audio-out'),
  channel: key(choice(vocabulary.channels), 'Which programme it carries.', 'channel: left'),
  volts: key(range('voltage'), 'Nominal DC, or its least and most.', 'volts: 3.3 V'),
  load: key(quantity('resistance'), 'What loads it, to ground.', 'load: 10 k'),
  complete: key(flag(), 'Everything on this net is listed.', 'complete: true'),
  note: key(text(), 'Anything else worth knowing.', 'note: behind the shield'),
} as const;

const generator = either({
  scalar: words('point'),
  list: words('point'),
  map: record({
    left: key(words('point'), 'Where the left programme is fed in.', 'left: [J1.tip, GND]'),
    right: key(words('point'), 'Where the right programme is fed in.', 'right: [J1.ring, GND]'),
  }),
});

export const stimulusKeys = {
  tone: key(quantity('frequency'), 'A sine of this frequency.', 'tone: 997 Hz'),
  noise: key(choice(vocabulary.noises), 'Noise.', 'noise: pink'),
  programme: key(choice(vocabulary.programmes, true), 'Speech, music, or a title.', 'programme: speech'),
  side: key(choice(vocabulary.sides), 'Where it was played.', 'side: left'),
  level: key(
    quantity('level', 'voltage'),
    'How loud: dBFS (a full-scale sine is 0), dBV, dBu or volts RMS.',
    'level: -12 dBFS',
  ),
  into: key(generator, 'Where a generator feeds it; without, the board plays it itself.', 'into: [J1.centre, GND]'),
  source: key(quantity('resistance'), "The generator's impedance.", 'source: 600'),
} as const;

export const stimulusType = either({ scalar: choice(vocabulary.stimuli), map: record(stimulusKeys) });

export const readingKeys = {
  at: key(words('point'), 'The point it was read at, against ground.', 'at: VSYS'),
  between: key(
    words('point'),
    'The two points it was read between, red lead on the first.',
    'between: [U1.2, J2.sleeve]',
  ),
  dc: key(meterQuantity('voltage'), 'DC volts.', 'dc: 3.28 V'),
  ac: key(meterQuantity('voltage', 'level'), 'AC volts RMS.', 'ac: 12 mV'),
  frequency: key(meterQuantity('frequency'), 'Frequency.', 'frequency: 12.0003 MHz'),
  ohms: key(meterQuantity('resistance'), 'Resistance; `OL` is over range.', 'ohms: 0.3 ohm'),
  diode: key(meterQuantity('voltage'), 'Forward drop in the diode range.', 'diode: 0.58 V'),
  amps: key(meterQuantity('current'), 'Current, with `in`.', 'amps: 21 mA'),
  in: key(text('part'), 'The part the current flows through.', 'in: F1'),
  farads: key(meterQuantity('capacitance'), 'Capacitance.', 'farads: 21 uF'),
  esr: key(meterQuantity('resistance'), 'Equivalent series resistance.', 'esr: 0.4 ohm'),
  beeps: key(flag(), 'Whether the continuity range beeped.', 'beeps: no'),
  stimulus: key(stimulusType, 'What was being played.', 'stimulus: silence'),
  state: key(text('state'), 'The rework after which it was taken.', 'state: bleeders-fitted'),
  taken: key(text(), 'When.', 'taken: 2031-05-04'),
  zeroed: key(flag(), 'Lead resistance was taken off; without it, below 1 Ω is an upper bound.', 'zeroed: yes'),
  note: key(text(), 'Anything else worth knowing.', 'note: after ten minutes'),
} as const;

export const readingType = recordOrShort(
  readingKeys,
  'point',
  meterQuantity('voltage', 'resistance', 'frequency', 'capacitance'),
);

export const captureKeys = {
  file: key(text('capture-file'), 'A WAV or CSV file, relative to this one.', 'file: captures/tone-left.wav'),
  stimulus: key(stimulusType, 'What was being played.', 'stimulus: {tone: 997 Hz, side: left, level: -12 dBFS}'),
  channels: key(
    entries('channel', 'a WAV channel number or CSV column', words('point')),
    'Channel → the point it was on, or two points for a differential probe, first minus second.',
    'channels: {1: OUT_L, 2: OUT_R}',
  ),
  'ground-lead': key(text('point'), "Where the probe's clip sat, or `none`.", 'ground-lead: GND'),
  'full-scale': key(swing('peak', 'voltage'), 'Volts, peak, at digital full scale.', 'full-scale: 1.42 V'),
  unit: key(text(), 'Unit of a CSV file; volts where not stated.', 'unit: mV'),
  probe: key(choice(vocabulary.probes), 'Attenuation the file does not yet account for.', 'probe: x10'),
  input: key(quantity('resistance'), "The recorder's impedance, part of the network.", 'input: 10 k'),
  coupling: key(
    choice(vocabulary.couplings),
    'How the recorder was coupled: WAV ac, CSV dc where not stated.',
    'coupling: dc',
  ),
  state: key(text('state'), 'The rework after which it was taken.', 'state: bleeders-fitted'),
  taken: key(text(), 'When.', 'taken: 2031-05-04'),
  note: key(text(), 'Anything else worth knowing.', 'note: volume at half'),
} as const;

export const captureType = record(captureKeys);

const state = key(text('state'), 'The rework after which it must hold; the last where not stated.', 'state: as-found');
const at = key(words('point'), 'The point it is measured at.', 'at: OUT_L');
const between = key(words('point'), 'The two points it is measured between.', 'between: [U1.2, J2.sleeve]');
const left = key(words('point'), 'The point of the left side.', 'left: OUT_L');
const right = key(words('point'), 'The point of the right side.', 'right: OUT_R');
const volts = range('voltage');

export const expectationKeys = {
  stereo: key(
    record({
      left,
      right,
      separation: key(quantity('ratio-db'), 'The least separation, both ways.', 'separation: 40 dB'),
    }),
    'The two points carry left and right.',
    'stereo: {left: OUT_L, right: OUT_R, separation: 40 dB}',
  ),
  'in-phase': key(words('point'), 'Two points carry one signal in phase.', 'in-phase: [OUT_L, OUT_R]'),
  opposed: key(words('point'), 'Two points carry one signal in antiphase.', 'opposed: [J3.2, J3.3]'),
  level: key(
    record({
      at,
      is: key(quantity('level', 'voltage'), 'The level.', 'is: -10 dBV'),
      within: key(quantity('ratio-db'), 'How far it may be off.', 'within: 1 dB'),
    }),
    'A point carries a level.',
    'level: {at: OUT_L, is: -10 dBV, within: 1 dB}',
  ),
  balance: key(
    record({ left, right, within: key(quantity('ratio-db'), 'How far the sides may differ.', 'within: 1 dB') }),
    'The sides are equally loud.',
    'balance: {left: OUT_L, right: OUT_R, within: 1 dB}',
  ),
  noise: key(
    record({
      at,
      below: key(quantity('level', 'voltage'), 'The most noise.', 'below: -80 dBV'),
      weighting: key(choice(vocabulary.weightings), 'How it is weighted.', 'weighting: A'),
    }),
    'A point is quiet.',
    'noise: {at: OUT_L, below: -80 dBV, weighting: A}',
  ),
  distortion: key(
    record({ at, below: key(quantity('percent', 'ratio-db'), 'The most THD+N.', 'below: 0.1 %') }),
    'A point is clean.',
    'distortion: {at: OUT_L, below: 0.1 %}',
  ),
  supply: key(
    record({
      at,
      between: key(volts, 'The least and the most DC.', 'between: [3.2 V, 3.4 V]'),
      ripple: key(swing('peak-to-peak', 'voltage'), 'The most ripple, peak to peak.', 'ripple: 20 mV'),
    }),
    'A supply holds.',
    'supply: {at: VSYS, between: [3.2 V, 3.4 V], ripple: 20 mV}',
  ),
  dc: key(
    record({ at, between: key(volts, 'The least and the most DC.', 'between: [-20 mV, 20 mV]') }),
    'A point sits at a DC voltage.',
    'dc: {at: J2.tip, between: [-20 mV, 20 mV]}',
  ),
  current: key(
    record({
      in: key(text('part'), 'The part the current flows through.', 'in: F1'),
      below: key(quantity('current'), 'The most current.', 'below: 40 mA'),
    }),
    'A part carries no more than a current.',
    'current: {in: F1, below: 40 mA}',
  ),
  ohms: key(
    record({
      between,
      is: key(quantity('resistance'), 'The resistance.', 'is: 0.2 ohm'),
      within: key(quantity('percent', 'resistance'), 'How far it may be off.', 'within: 10 %'),
    }),
    'Two points measure a resistance.',
    'ohms: {between: [U1.2, J2.sleeve], is: 0.2 ohm, within: 50 %}',
  ),
  frequency: key(
    record({
      at,
      is: key(quantity('frequency'), 'The frequency.', 'is: 12 MHz'),
      within: key(quantity('ppm', 'percent'), 'How far it may be off.', 'within: 50 ppm'),
    }),
    'A point carries a frequency.',
    'frequency: {at: U1.9, is: 12 MHz, within: 50 ppm}',
  ),
  joined: key(words('point'), 'One piece of copper connects these.', 'joined: [U1.2, J2.sleeve]'),
  apart: key(words('point'), 'These do not beep.', 'apart: [VSYS, GND]'),
  state,
} as const;

export const expectationType = record(expectationKeys);

export const reworkKeys = {
  name: key(text(), 'What `state` calls it.', 'name: bleeders-fitted'),
  date: key(text(), 'When.', 'date: 2031-05-04'),
  did: key(text(), 'What was done.', 'did: fitted two 47 k bleeders'),
  parts: key(partsType, 'Parts added or changed; `~` takes one out.', 'parts: {R12: 47 k}'),
  traces: key(tracesType, 'Joins made.', 'traces: {buzzed: [R12.1 OUT_L]}'),
  cuts: key(joins, 'Joins that are no more.', 'cuts: [U1.13 C8.+]'),
} as const;

export const acceptanceKeys = {
  check: key(
    choice([...checkNames.values()].map((check) => ({ name: check.name, doc: check.severity }))),
    'The check whose finding is accepted.',
    'check: return-shared',
  ),
  at: key(words('point'), 'Where; without, wherever it speaks.', 'at: [OUT_L]'),
  because: requiredKey(text(), 'Why it can be lived with.', 'because: the cable is a hand long'),
} as const;

const limited = [...checkNames.values()].flatMap(({ name, limit }) => (limit ? [{ name, ...limit }] : []));
const limitChoices = limited.map(({ name, what }) => ({ name, doc: what }));
const limitTypes = Object.fromEntries(limited.map(({ name, dimensions }) => [name, quantity(...dimensions)]));

/** A board file: one board on the bench. */
export const boardFile = record({
  board: requiredKey(text(), 'Title of the board: the one key that must be there.', 'board: Audio guide, main board'),
  complaint: key(text(), 'What the owner says is wrong.', 'complaint: narration turns hollow'),
  cautions: key(
    list(choice(vocabulary.cautions)),
    'What can hurt here. The tool adds those it can infer.',
    'cautions: [lithium-cell]',
  ),
  pinouts: key(
    list(text('pinout-file')),
    'Paths or globs of pinout files, relative to this file; by default all beside it and in the workspace.',
    'pinouts: [sheets/*.pinout.yaml]',
  ),
  parts: key(partsType, 'The parts: reference designator → part.', 'parts: {R4: 470, C7: 22 uF 6.3 V}'),
  traces: key(tracesType, 'The copper, grouped by how we know it.', 'traces: {buzzed: [U1.14 C7.+]}'),
  nets: key(entries('net', 'a net name', record(netKeys)), 'What nets are for.', 'nets: {GND: {role: ground}}'),
  complete: key(flag(), 'Everything on the board is listed: what is not found is not there.', 'complete: true'),
  readings: key(list(readingType), 'Numbers off a meter.', 'readings: [VSYS: 3.28 V]'),
  captures: key(
    entries('capture', 'a name for the recording', captureType),
    'Recordings, their channels on points.',
    'captures: {tone-left: {file: captures/tone-left.wav}}',
  ),
  reworks: key(
    list(record(reworkKeys)),
    'What was changed on the board, in order.',
    'reworks: [{name: bleeders-fitted}]',
  ),
  expect: key(list(expectationType), 'What a healthy board shows.', 'expect: [in-phase: [OUT_L, OUT_R]]'),
  accepted: key(
    list(record(acceptanceKeys)),
    'Findings the writer has looked at and lives with.',
    'accepted: [{check: return-shared, because: short cable}]',
  ),
  limits: key(
    entries(
      'check',
      'a check that has a threshold',
      quantity('ratio-db', 'resistance', 'percent', 'frequency', 'voltage', 'ppm'),
      limitChoices,
      limitTypes,
    ),
    "Thresholds for this board, in the check's own unit.",
    'limits: {coupling-corner-high: 20 Hz}',
  ),
  verdict: key(
    record({
      cause: key(choice(vocabulary.causes, true), 'The cause.', 'cause: output-mode'),
      remedy: key(text(), 'What mends it.', 'remedy: take one leg only'),
      note: key(text(), 'Anything else worth knowing.', 'note: ask for the stereo variant'),
    }),
    "The writer's own conclusion, for the report.",
    'verdict: {cause: output-mode}',
  ),
});

export type BoardFile = Read<typeof boardFile>;
export type PartEntry = Read<typeof partType>;
export type Stimulus = Read<typeof stimulusType>;
export type ReadingEntry = Read<typeof readingType>;
export type CaptureEntry = Read<typeof captureType>;
export type Expectation = Read<typeof expectationType>;
export type Traces = Read<typeof tracesType>;
