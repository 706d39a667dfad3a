import {
  choice,
  either,
  entries,
  key,
  list,
  number,
  quantity,
  type Read,
  range,
  record,
  requiredKey,
  text,
  words,
} from './type';
import { actives, channels, pinRoles, sectionKinds } from './words';

/** One pin of a data sheet, as a map. */
export const pinKeys = {
  name: key(text(), 'Its name on the data sheet. The role follows from it where no `role` is given.', 'name: DACL'),
  role: key(choice(pinRoles), 'What the pin is for; inferred from the name when left out.', 'role: audio-out'),
  channel: key(choice(channels), 'Which programme it carries.', 'channel: left'),
  volts: key(range('voltage'), 'What the data sheet allows on it, or its nominal.', 'volts: [3.0 V, 3.6 V]'),
  return: key(
    text('pin'),
    'The pin its current comes back to: a ground, the driven common of a capless output, or the other leg of a bridge.',
    'return: 2',
  ),
  bias: key(quantity('voltage'), 'DC at rest.', 'bias: 1.65 V'),
  'full-scale': key(quantity('voltage'), 'Volts RMS of a 0 dBFS sine.', 'full-scale: 0.9 V'),
  impedance: key(
    quantity('resistance'),
    'Source impedance of an output, input impedance of an input.',
    'impedance: 20',
  ),
  'min-load': key(quantity('resistance'), 'The lowest load it may drive.', 'min-load: 1 k'),
  frequency: key(quantity('frequency'), 'The clock it wants or gives.', 'frequency: 12 MHz'),
  active: key(choice(actives), 'The level at which a control pin acts.', 'active: low'),
  alternates: key(words('pin-name'), 'Other names of a shared pin.', 'alternates: [ADC0, WKUP]'),
  note: key(text(), 'Anything else worth knowing.', 'note: leave open when unused'),
} as const;

export const pinType = either({ scalar: text(), map: record(pinKeys) });

export const sectionKeys = {
  kind: key(choice(sectionKinds), 'What sits between these pins.', 'kind: op-amp'),
  plus: key(text('pin'), 'Non-inverting input.', 'plus: 3'),
  minus: key(text('pin'), 'Inverting input.', 'minus: 2'),
  in: key(text('pin'), 'Input of a regulator.', 'in: 1'),
  out: key(words('pin'), 'Output; two of them are the legs of a bridge.', 'out: [5, 8]'),
  gain: key(quantity('ratio-db'), 'Gain; an op-amp without one is ideal with its feedback.', 'gain: 20 dB'),
  volts: key(quantity('voltage'), 'What a regulator holds.', 'volts: 3.3 V'),
} as const;

export const packageKeys = {
  style: key(text(), 'Package style.', 'style: sop-16'),
  pins: key(number(), 'How many pins it has.', 'pins: 16'),
} as const;

export const sourceKeys = {
  document: key(text(), 'The data sheet.', 'document: FW2210 data sheet'),
  revision: key(text(), 'Its revision.', 'revision: "1.3"'),
  page: key(number(), 'The page with the pins.', 'page: 6'),
  link: key(text(), 'Where it lies: a path or address.', 'link: sheets/fw2210.pdf'),
} as const;

export const weightKeys = {
  left: key(number(), 'Weight of the left programme.', 'left: 0.5'),
  right: key(number(), 'Weight of the right programme.', 'right: -0.5'),
} as const;

/** A pinout file: one chip's data sheet, reduced to what a bench needs. */
export const pinoutFile = record({
  pinout: requiredKey(text(), 'The name boards call it by.', 'pinout: fw2210'),
  describes: key(text(), 'What the chip is, in a line.', 'describes: Stereo playback chip'),
  source: key(record(sourceKeys), 'Where the pins were read.', 'source: {document: FW2210 data sheet, page: 6}'),
  package: key(
    either({ scalar: text(), map: record(packageKeys) }),
    'Its package: the style, or style and number of pins.',
    'package: {style: sop-16, pins: 16}',
  ),
  markings: key(
    list(text()),
    'What may be printed on it: `?` is any one character, `*` any run, case ignored.',
    'markings: ["FW2210-?*"]',
  ),
  pins: key(
    entries('free', 'a pin number, a grid name such as `A1`, or `EP`', pinType),
    'Its pins: number → name, or a map.',
    'pins: {2: VSS, 10: XOUT}',
  ),
  modes: key(
    entries('free', 'a mode', entries('pin-name', 'an output pin by name or number', record(weightKeys))),
    'What each output carries in each output mode, as weights of the left and right programme; the first is the default.',
    'modes: {mono: {DACL: {left: 0.5, right: 0.5}}}',
  ),
  sections: key(
    entries('free', 'a section', record(sectionKeys)),
    'What sits between pins, so that paths and the network pass through.',
    'sections: {A: {kind: op-amp, plus: 3, minus: 2, out: 1}}',
  ),
});

export type PinoutFile = Read<typeof pinoutFile>;
export type PinEntry = Read<typeof pinType>;
