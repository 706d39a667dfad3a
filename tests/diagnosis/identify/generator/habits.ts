import { seeded } from '../../../circuit/draw';

/**
 * How boards are wired, as the generator sees it: by what a pin does, finer than the model's roles, with its own weights. It knows
 * nothing of the model's table, nor the model of this.
 */

/** Where a pin leads, in the vocabulary that observations have; `side` for audio contacts. */
export interface Lead {
  readonly kind: string;
  readonly side?: 'left' | 'right' | 'mono';
  readonly rail?: number;
}

export interface Duty {
  readonly names: readonly string[];
  /** Weights of where such a pin leads. */
  readonly leads: readonly (readonly [kind: string, weight: number])[];
  /** DC at it on a running board: a mixture of bells [mean, sd, weight] in volts. */
  readonly dc: readonly (readonly [mean: number, sd: number, weight: number])[];
  /** Of a supply pin: how often it is on each of `rails`, and the range its data sheet states, volts. */
  readonly feeds?: readonly number[];
  readonly range?: readonly [number, number];
  readonly channel?: 'left' | 'right';
  /** Comes with this one beside it. */
  readonly with?: string;
}

/** Supplies that boards have, volts. */
export const rails = [1.8, 2.8, 3.3, 3.9, 5] as const;
/** How often a pin that is no supply pin is strapped to each. */
export const straps = [14, 8, 60, 8, 10] as const;

/** Half the analogue supply, whatever that is; nothing where ground-centred, unused or asleep. */
const halfSupply = (idle: number, spread: number): Duty['dc'] => [
  [1.65, spread, 0.56 * (100 - idle)],
  [1.4, spread, 0.2 * (100 - idle)],
  [2.5, spread, 0.15 * (100 - idle)],
  [0.9, 0.7 * spread, 0.09 * (100 - idle)],
  [0, 0.03, idle],
];

const audio = (channel: 'left' | 'right', names: readonly string[], capless: number): Duty => ({
  names,
  channel,
  leads: [
    ['audio-coupled', 55 - capless],
    ['audio-straight', capless],
    ['audio-divided', 14],
    ['line', 9],
    ['nothing', 6],
    ['unsettled', 5],
    ['decoupling', 1],
  ],
  dc: halfSupply(24, 0.12),
});
const supply = (names: readonly string[], feeds: readonly number[], range: readonly [number, number]): Duty => ({
  names,
  feeds,
  range,
  leads: [
    ['supply', 84],
    ['decoupling', 9],
    ['unsettled', 5],
    ['nothing', 1],
    ['pulled', 1],
  ],
  dc: [...rails.map((volts, at) => [volts, volts === 3.9 ? 0.22 : 0.025 * volts, feeds[at]!] as const), [0, 0.03, 4]],
});
/** Low, high by the rail of the part that drives it, or going back and forth. */
const logic: Duty['dc'] = [
  [0, 0.05, 42],
  [3.3, 0.1, 32],
  [1.8, 0.06, 8],
  [2.8, 0.08, 4],
  [5, 0.12, 2],
  [1.2, 0.7, 12],
];
/** Where line inputs lead. */
const lineInput: readonly (readonly [string, number])[] = [
  ['audio-coupled', 45],
  ['audio-in', 14],
  ['audio-divided', 7],
  ['line', 8],
  ['nothing', 14],
  ['ground', 4],
  ['decoupling', 4],
  ['unsettled', 4],
];

export const duties: Readonly<Record<string, Duty>> = {
  ground: {
    names: ['GND', 'VSS', 'AGND', 'DGND'],
    leads: [
      ['ground', 92],
      ['common', 4],
      ['unsettled', 3],
      ['nothing', 1],
    ],
    dc: [[0, 0.02, 100]],
  },
  core: supply(['VDDC', 'DCVDD'], [96, 1, 1, 1, 1], [1.7, 1.95]),
  io: supply(['VDDIO', 'DVDD'], [28, 9, 60, 2, 1], [1.7, 3.6]),
  analogue: supply(['AVDD', 'VCC'], [3, 14, 76, 4, 3], [2.7, 3.6]),
  cell: supply(['VBAT'], [1, 2, 12, 81, 4], [3, 4.35]),
  bus: supply(['VBUS'], [0.5, 0.5, 1, 3, 95], [4.4, 5.5]),
  regulator: {
    names: ['VREG', 'LDO', 'VCAP'],
    leads: [
      ['decoupling', 55],
      ['supply', 33],
      ['unsettled', 6],
      ['line', 4],
      ['nothing', 2],
    ],
    dc: [
      [1.8, 0.05, 35],
      [3.3, 0.07, 35],
      [1.2, 0.03, 20],
      [2.8, 0.05, 10],
    ],
  },
  dacLeft: { ...audio('left', ['DACL', 'AOUTL'], 12), with: 'dacRight' },
  dacRight: audio('right', ['DACR', 'AOUTR'], 12),
  phoneLeft: { ...audio('left', ['HPL', 'HPOUTL'], 24), with: 'phoneRight' },
  phoneRight: audio('right', ['HPR', 'HPOUTR'], 24),
  microphone: {
    names: ['MICIN', 'MICP'],
    leads: [
      ['audio-in', 66],
      ['nothing', 16],
      ['decoupling', 6],
      ['ground', 4],
      ['unsettled', 5],
      ['line', 3],
    ],
    dc: halfSupply(25, 0.17),
  },
  lineLeft: {
    names: ['LINEINL', 'AINL'],
    with: 'lineRight',
    channel: 'left',
    leads: lineInput,
    dc: halfSupply(25, 0.17),
  },
  lineRight: {
    names: ['LINEINR', 'AINR'],
    channel: 'right',
    leads: lineInput,
    dc: halfSupply(25, 0.17),
  },
  middle: {
    names: ['VMID', 'VREF', 'VCOM'],
    leads: [
      ['decoupling', 86],
      ['reference', 5],
      ['unsettled', 4],
      ['nothing', 2],
      ['audio-divided', 2],
      ['pulled', 1],
    ],
    dc: halfSupply(2, 0.07),
  },
  crystalIn: {
    names: ['XIN', 'OSCI', 'XTALI'],
    with: 'crystalOut',
    leads: [
      ['clock', 88],
      ['line', 6],
      ['unsettled', 4],
      ['ground', 2],
    ],
    dc: [
      [1.2, 0.5, 70],
      [0.3, 0.2, 15],
      [1.65, 0.3, 15],
    ],
  },
  crystalOut: {
    names: ['XOUT', 'OSCO', 'XTALO'],
    leads: [
      ['clock', 87],
      ['nothing', 8],
      ['unsettled', 4],
      ['line', 1],
    ],
    dc: [
      [1.2, 0.5, 70],
      [0.3, 0.2, 15],
      [1.65, 0.3, 15],
    ],
  },
  radio: {
    names: ['ANT', 'RFIO'],
    leads: [
      ['antenna', 86],
      ['unsettled', 7],
      ['line', 4],
      ['nothing', 3],
    ],
    dc: [
      [0, 0.05, 85],
      [0.8, 0.4, 15],
    ],
  },
  busPlus: {
    names: ['DP', 'USBDP'],
    with: 'busMinus',
    leads: [
      ['data', 84],
      ['nothing', 9],
      ['unsettled', 4],
      ['line', 3],
    ],
    dc: [
      [0, 0.1, 40],
      [3.2, 0.2, 40],
      [0.5, 0.4, 20],
    ],
  },
  busMinus: {
    names: ['DM', 'USBDM'],
    leads: [
      ['data', 84],
      ['nothing', 9],
      ['unsettled', 4],
      ['line', 3],
    ],
    dc: [
      [0, 0.1, 65],
      [3.2, 0.2, 15],
      [0.5, 0.4, 20],
    ],
  },
  general: {
    names: ['GPIO1', 'GPIO2', 'GPIO3', 'PB4', 'PC7'],
    leads: [
      ['nothing', 24],
      ['line', 24],
      ['led', 11],
      ['control', 14],
      ['pulled', 10],
      ['data', 6],
      ['ground', 3],
      ['supply', 1],
      ['unsettled', 7],
    ],
    dc: logic,
  },
  serial: {
    names: ['SDA', 'SCL', 'BCLK', 'LRCK', 'SDIN', 'TXD', 'RXD'],
    leads: [
      ['line', 46],
      ['data', 26],
      ['nothing', 12],
      ['pulled', 6],
      ['unsettled', 6],
      ['ground', 2],
      ['control', 2],
    ],
    dc: logic,
  },
  reset: {
    names: ['RESET', 'NRST'],
    leads: [
      ['pulled', 45],
      ['control', 22],
      ['decoupling', 10],
      ['supply', 5],
      ['line', 10],
      ['unsettled', 5],
      ['nothing', 3],
    ],
    dc: [
      [3.3, 0.1, 65],
      [1.8, 0.06, 15],
      [2.8, 0.08, 8],
      [0, 0.05, 12],
    ],
  },
  enable: {
    names: ['EN', 'SHDN', 'MUTE', 'CE'],
    leads: [
      ['supply', 26],
      ['pulled', 26],
      ['ground', 12],
      ['control', 12],
      ['line', 15],
      ['unsettled', 5],
      ['nothing', 4],
    ],
    dc: [
      [3.3, 0.1, 38],
      [1.8, 0.06, 8],
      [0, 0.05, 40],
      [3.9, 0.25, 8],
      [5, 0.12, 6],
    ],
  },
  none: {
    names: ['NC'],
    leads: [
      ['nothing', 86],
      ['ground', 10],
      ['line', 3],
      ['supply', 1],
    ],
    dc: [
      [0, 0.08, 55],
      [0.3, 0.3, 25],
      [1.2, 0.8, 20],
    ],
  },
  factory: {
    names: ['TEST', 'TM'],
    leads: [
      ['nothing', 66],
      ['ground', 20],
      ['pulled', 10],
      ['line', 4],
    ],
    dc: [
      [0, 0.05, 70],
      [3.3, 0.1, 15],
      [1.8, 0.06, 5],
      [1, 0.6, 10],
    ],
  },
};

/** How often a chip has a pin of each duty, beyond one ground and one supply: two kinds of chip. */
export type Mix = Readonly<Record<string, number>>;
export const playback: Mix = {
  ground: 10,
  core: 2,
  io: 3,
  analogue: 4,
  cell: 3,
  bus: 1,
  regulator: 4,
  dacLeft: 5,
  phoneLeft: 5,
  microphone: 4,
  lineLeft: 3,
  middle: 4,
  crystalIn: 4,
  radio: 1,
  busPlus: 2,
  general: 12,
  serial: 8,
  reset: 3,
  enable: 6,
  none: 5,
  factory: 2,
};
export const radioController: Mix = {
  ground: 12,
  core: 5,
  io: 6,
  analogue: 2,
  cell: 1,
  bus: 3,
  regulator: 6,
  dacLeft: 2,
  phoneLeft: 1,
  microphone: 2,
  lineLeft: 1,
  middle: 2,
  crystalIn: 5,
  radio: 4,
  busPlus: 3,
  general: 24,
  serial: 12,
  reset: 3,
  enable: 3,
  none: 8,
  factory: 3,
};

/** The same duties as another workshop's boards show them: every weight drawn up or down by a factor of about e^spread. */
export function otherHabits(seed: number, spread: number): Readonly<Record<string, Duty>> {
  const draw = seeded(seed);
  const bell = () => draw() + draw() + draw() + draw() - 2;
  return Object.fromEntries(
    Object.entries(duties).map(([name, duty]) => [
      name,
      {
        ...duty,
        leads: duty.leads.map(([kind, weight]) => [kind, weight * Math.exp(1.73 * spread * bell())] as const),
      },
    ]),
  );
}
