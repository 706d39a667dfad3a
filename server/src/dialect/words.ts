import type { Choice, SpelledChoice } from './type';

/** The closed lists of words both file kinds share. Each word once, with what it means on a bench. */

const words = (table: Record<string, string>): Choice[] => Object.entries(table).map(([name, doc]) => ({ name, doc }));
/** The words themselves. */
export const names = (choices: readonly Choice[]): string[] => choices.map((choice) => choice.name);

/** What stands for a part that is not there, and how parts lists put it: common practice, no source. */
export const notFitted: readonly SpelledChoice[] = [
  {
    name: 'not-fitted',
    doc: 'empty pads: open',
    also: [
      'dnp',
      'dnf',
      'dni',
      'nf',
      'no-fit',
      'unfitted',
      'not-populated',
      'unpopulated',
      'do-not-populate',
      'do-not-fit',
    ],
  },
];

const law = 'Follow local codes; leave it to a licensed person where they say so.';
export const cautions = words({
  mains: `Mains inside: unplug, do not just switch off; parts of the board are live while it is plugged in, and an isolating transformer does not protect a hand that touches two points. ${law}`,
  'lithium-cell': `Lithium cell: do not pry, bend, puncture, short or heat it, and never let air out of a swollen one. Insulate the probe tips, take rings off; stop if it warms or swells. ${law}`,
  'high-voltage': `High voltage: wait, measure, discharge through a resistor, measure again before touching anything. ${law}`,
  'stored-charge': `Stored charge: capacitors stay charged after the plug is out. Wait, measure, discharge through a resistor, measure again. ${law}`,
  laser: `Laser: do not look into an open pick-up; with its interlock defeated it belongs to a higher class. ${law}`,
  'hot-chassis': `Hot chassis: the common of the board may be live. No earthed instrument on it without an isolating transformer. ${law}`,
  'hot-parts': `Hot parts: let it cool before you reach in, and keep the cell away from the heat. ${law}`,
  'vehicle-supply': `Vehicle supply: fuse it at the source end, disconnect the negative lead first, key off, and wait as the maker says where airbags are near. ${law}`,
  'loud-output': `Loud output: start at the lowest level and keep headphones off your ears while tones play; high tones at full level burn tweeters. ${law}`,
  'sharp-opening': `Sharp opening: cut away from your hand and away from any cell. ${law}`,
});

export const netRoles = words({
  ground: 'the return that currents come back to and voltages are measured against',
  supply: 'takes its feed from elsewhere',
  'supply-out': 'feeds its net: the output of a regulator, charge pump or bias source',
  'audio-out': 'audio leaves here',
  'audio-in': 'audio arrives here',
  reference: 'a quiet voltage, often half the supply, that wants a capacitor and no load',
  clock: 'an oscillator or clock line',
  antenna: 'radio frequency, straight to the antenna',
  data: 'a data line',
  control: 'a line that switches something: reset, mute, enable',
  chassis: 'shell, screen or earth',
  mains: 'connected to the mains: dangerous to touch',
});

export const pinRoles: readonly Choice[] = [
  ...netRoles,
  ...words({
    'not-connected': 'no connection inside',
    'do-not-connect': 'connected inside, to be left alone',
    test: 'for the factory',
  }),
];

export const channels = words({
  left: 'the left programme',
  right: 'the right programme',
  mono: 'both programmes together',
});

export const evidences = words({
  buzzed: 'the meter beeped',
  seen: 'followed by eye',
  assumed: 'a guess, still to be proven',
});

export const kinds = words({
  resistor: 'R',
  capacitor: 'C',
  inductor: 'L',
  ferrite: 'FB: its DC resistance at DC and audio, never its ohms at 100 MHz',
  diode: 'D: anode A, cathode K',
  led: 'LED: anode A, cathode K',
  zener: 'conducts backwards at its voltage',
  tvs: 'clamps a surge',
  'rectifier-bridge': 'four diodes: +, -, ac1, ac2',
  transistor: 'Q of unknown type',
  npn: 'bipolar: B C E',
  pnp: 'bipolar: B C E',
  nmos: 'field effect: G D S',
  pmos: 'field effect: G D S',
  jfet: 'junction field effect: G D S',
  chip: 'U or IC: pins by its pinout',
  regulator: 'holds a voltage',
  'op-amp': 'an amplifier for feedback',
  connector: 'J, P, X or CN: contacts by its style',
  crystal: 'Y',
  fuse: 'F: its value is its current rating',
  switch: 'SW: taken as closed',
  'test-point': 'TP: one pin',
  cell: 'BT: + and -',
  loudspeaker: 'LS: + and -',
  microphone: 'MK: + and -',
  antenna: 'AE: one pin',
  transformer: 'T',
  relay: 'K',
  potentiometer: 'ends ccw 1 and cw 3, wiper 2; a second gang is 4 to 6',
  varistor: 'clamps a surge both ways',
});

export const styles = words({
  'jack-ts': 'tip, sleeve',
  'jack-trs': 'tip, ring, sleeve',
  'jack-trrs': 'tip, ring1, ring2, sleeve',
  rca: 'centre, shell',
  'usb-a': 'vbus, dp, dm, gnd, shield',
  'usb-b': 'vbus, dp, dm, gnd, shield',
  'usb-micro-b': 'vbus, dp, dm, id, gnd, shield',
  'usb-c': 'vbus, dp, dm, gnd, cc1, cc2, shield',
  'xlr-3': '1 screen, 2 hot, 3 cold, shell',
  barrel: 'centre, sleeve',
  terminal: 'numbered contacts',
});

export const wirings = words({
  stereo: 'tip left, ring right, sleeve common',
  balanced: 'tip hot, ring cold, sleeve screen',
  'mic-on-sleeve': 'four contacts: ring2 common, sleeve microphone',
  'mic-on-ring2': 'four contacts: sleeve common, ring2 microphone',
});

export const sides = words({
  left: 'on the left alone',
  right: 'on the right alone',
  both: 'the same on both, in phase',
  opposed: 'the same on both, in antiphase',
  unlike: 'unrelated on each',
});

export const noises = words({ white: 'equal power per hertz', pink: 'equal power per octave' });
export const programmes = words({ speech: 'a voice', music: 'music' });
export const probes = words({
  x1: 'no attenuation the file leaves out',
  x10: 'ten to one that the file leaves out',
});
export const couplings = words({ ac: 'a capacitor in the way: nothing is learnt about DC', dc: 'straight through' });
export const weightings = words({ A: 'A-weighted, IEC 61672-1', none: 'flat, 20 Hz to 20 kHz' });
export const actives = words({ high: 'acts when high', low: 'acts when low' });
export const sectionKinds = words({
  'op-amp': 'plus, minus, out',
  amplifier: 'plus, out (two for a bridge), gain',
  regulator: 'in, out, volts',
});
export const chemistries = words({
  'lithium-ion': '3.6 V or 3.7 V, charged to 4.2 V',
  'lithium-polymer': '3.7 V, charged to 4.2 V',
  'lithium-iron-phosphate': '3.2 V, charged to 3.65 V',
  'nickel-metal-hydride': '1.2 V a cell',
  alkaline: '1.5 V a cell',
  'lead-acid': '2 V a cell',
});
export const stimuli = words({
  silence: 'nothing played: noise, hum and offsets show',
  programme: 'whatever the gadget plays',
  'all-in-one': 'the recording that `buzzout signals` writes',
  sweep: 'a tone through the band',
});

export const causes = words({
  'as-designed':
    'copper, values and the stated mode are as they should be; faults that no measurement here can see share its group',
  'output-mode': 'the part drives its outputs in another of its modes',
  'polarity-reversed': 'one side is turned over',
  'sides-exchanged': 'left and right are exchanged',
  'mono-summed': 'the sides meet outside the chip, through parts',
  'side-dead': 'one side carries nothing',
  open: 'a part or joint does not conduct',
  short: 'a part or two neighbours conduct that should not',
  'wrong-value': 'a part has another value',
  aged: 'capacitance down, series resistance up',
  'return-open': 'the common contact does not come back',
  'common-return': 'the sides share resistance in their return',
  leakage: 'something leaks from side to side',
  delayed: 'one side is late',
  echo: 'a delayed copy is added',
  'one-sided-source': 'the source feeds one side',
  'supply-missing': 'a supply is not there',
  'held-off': 'mute, standby or reset holds the chip',
  misprobed: 'leads exchanged, a ×10 forgotten, a wrong scale or loudness, nothing played',
  unexplained: 'what remains',
});
