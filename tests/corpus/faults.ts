/**
 * Faulty boards: a healthy one with a few lines changed as the fault would change them, and the findings that must follow, all of
 * them. `change` pairs a text of the healthy board (once in it) with what stands there instead; `add` is put at the board's end.
 */
export interface Fault {
  readonly of: string;
  readonly change?: readonly (readonly [string, string])[];
  readonly add?: string;
  /** Severity and check, and a stretch of its message where one is named. */
  readonly finds: readonly (readonly [string, string?])[];
}

export const faults: Readonly<Record<string, Fault>> = {
  'tip and ring exchanged': {
    of: 'single-ended',
    change: [
      ['R3.1 J1.tip OUT_L', 'R3.1 J1.ring OUT_L'],
      ['R4.1 J1.ring OUT_R', 'R4.1 J1.tip OUT_R'],
    ],
    finds: [['warning channel-crossed', 'OUT_R']],
  },
  'outputs exchanged at the chip': {
    of: 'volume control',
    change: [
      ['U1.AOUTL C2.+', 'U1.AOUTL C3.+'],
      ['U1.AOUTR C3.+', 'U1.AOUTR C2.+'],
    ],
    finds: [['warning channel-crossed', 'U1.3 – C3']],
  },
  'left and right bridged by solder': {
    of: 'single-ended',
    change: [['R4.1 J1.ring OUT_R', 'R4.1 J1.ring OUT_R OUT_L']],
    finds: [['warning channel-crossed', 'one piece of copper']],
  },
  'tip and ring bridged by solder, no nets named': {
    of: 'unfitted parts',
    change: [['R2.2 R4.1 C9.1 J1.ring', 'R2.2 R4.1 C9.1 J1.ring J1.tip']],
    finds: [['warning channel-crossed', 'one piece of copper']],
  },
  'differential mode on a stereo jack': {
    of: 'single-ended',
    change: [['mode: stereo', 'mode: differential']],
    finds: [['warning bridge-as-stereo']],
  },
  'bridge leg taken for ground': {
    of: 'bridge into a loudspeaker',
    change: [['U1.VO- LS1.-', 'U1.VO- LS1.- GND']],
    finds: [['error bridge-grounded']],
  },
  'supply shorted to ground': {
    of: 'usb-fed',
    change: [['C7.1 V33', 'C7.1 V33 GND']],
    finds: [['error supply-short']],
  },
  'cell shorted at the holder': {
    of: 'cell-fed',
    change: [['BT1.+ F1.1', 'BT1.+ F1.1 GND']],
    finds: [['error supply-short', 'a supply']],
  },
  'ground pin on the supply': {
    of: 'balanced jack',
    change: [
      ['U1.V+ C1.1 +15V', 'U1.V+ U1.GND C1.1 +15V'],
      ['U1.GND U1.IN', 'U1.IN'],
    ],
    finds: [['error ground-miswired', 'U1.2']],
  },
  'supply too low for the converter': {
    of: 'single-ended',
    change: [['volts: 3.3 V', 'volts: 2.5 V']],
    finds: [['error supply-out-of-range', '2.5 V']],
  },
  'supply read too high': {
    of: 'usb-fed',
    add: 'readings:\n  - V33: 4.9 V\n',
    finds: [['error supply-out-of-range', '4.9 V']],
  },
  'negative rail missing its sign': {
    of: 'op-amp on two supplies',
    add: 'readings:\n  - -12V: -2 V\n',
    finds: [['error supply-out-of-range', '−2 V']],
  },
  'two rails joined in the description': {
    of: 'usb-fed',
    change: [['C7.1 V33', 'C7.1 V33 VUSB']],
    finds: [['error supply-out-of-range']],
  },
  'fuse gone': {
    of: 'cell-fed',
    change: [['F1: 500 mA', 'F1: not-fitted']],
    finds: [['warning supply-unfed', 'U2.3']],
  },
  'ferrite gone': {
    of: 'usb-fed',
    change: [
      ['FB1: 600', 'FB1: ~'],
      ['volts: [4.4 V, 5.25 V]', 'note: bus'],
    ],
    finds: [['warning supply-unfed', 'U2.3']],
  },
  'regulator input never reached': {
    of: 'cell-fed',
    change: [['SW1.2 C6.1 U2.VIN', 'C6.1 U2.VIN']],
    finds: [['warning supply-unfed']],
  },
  'series diode turned round': {
    of: 'vehicle-fed',
    change: [
      ['F1.2 D1.A D2.K V12', 'F1.2 D1.K D2.K V12'],
      ['D1.K C6.1 U2.VIN', 'D1.A C6.1 U2.VIN'],
    ],
    finds: [['error diode-reversed', 'D1']],
  },
  'surge clamp turned round': {
    of: 'vehicle-fed',
    change: [
      ['D1.A D2.K V12', 'D1.A D2.A V12'],
      ['D2.A J2.sleeve', 'D2.K J2.sleeve'],
    ],
    finds: [['error diode-reversed', 'D2']],
  },
  'lamp turned round': {
    of: 'fed through a transistor',
    change: [
      ['V33: {role: supply}', 'V33: {role: supply, volts: 3.3 V}'],
      ['LED1.A\n', 'LED1.K\n'],
      ['LED1.K SW1.2', 'LED1.A SW1.2'],
    ],
    finds: [['error diode-reversed', 'LED1']],
  },
  'decoupling left out': {
    of: 'single-ended',
    change: [['C1: 100 nF 16 V', 'C1: not-fitted']],
    finds: [['info decoupling-missing']],
  },
  'negative decoupling left out': {
    of: 'op-amp on two supplies',
    change: [['C2: 100 nF 50 V', 'C2: ~']],
    finds: [['info decoupling-missing', '-12V']],
  },
  'strap between grounds missing': {
    of: 'split ground through 0 Ω',
    change: [['R9: 0', 'R9: not-fitted']],
    finds: [['warning ground-split']],
  },
  'ferrite between grounds missing': {
    of: 'split ground through a ferrite',
    change: [['FB1: 600', 'FB1: not-fitted']],
    finds: [['warning ground-split']],
  },
  'strap measured open': {
    of: 'split ground through 0 Ω',
    change: [
      ['complete: true\n', ''],
      ['    - R9.1 AGND\n    - R9.2 PGND\n', ''],
    ],
    add: 'readings:\n  - AGND PGND: OL\n',
    finds: [['warning ground-split', 'AGND PGND OL']],
  },
  'sleeve never reached': {
    of: 'ground-centred',
    change: [['C3.2 J1.sleeve GND', 'C3.2 GND\n    - J1.sleeve']],
    finds: [['warning sleeve-not-ground']],
  },
  'driven sleeve into gear that may be earthed': {
    of: 'capless headphones',
    change: [['load: 32', 'load: 10 k']],
    finds: [['warning sleeve-not-ground']],
  },
  'coupling capacitors bridged': {
    of: 'mono by design',
    change: [
      ['C2: 22 uF 6.3 V', 'R2: 0'],
      ['U1.AOUTL C2.+', 'U1.AOUTL R2.1'],
      ['C2.- R3.1', 'R2.2 R3.1'],
    ],
    finds: [['warning coupling-missing']],
  },
  'headphones plugged into a line output': {
    of: 'single-ended',
    change: [['load: 10 k', 'load: 32']],
    finds: [
      ['warning output-overloaded', '1 k'],
      ['warning coupling-corner-high', '32'],
    ],
  },
  'coupling capacitor of a tenth': {
    of: 'single-ended',
    change: [
      ['C2: 22 uF 6.3 V', 'C2: 220 nF 6.3 V'],
      ['C3: 22 uF 6.3 V', 'C3: 220 nF 6.3 V'],
    ],
    finds: [['warning coupling-corner-high']],
  },
  'a load of a few ohms on the headphone driver': {
    of: 'ground-centred',
    change: [['load: 32', 'load: 4']],
    finds: [['warning output-overloaded', 'U1.4 (HPR)']],
  },
  'electrolytic turned round': {
    of: 'single-ended',
    change: [
      ['U1.AOUTL C2.+', 'U1.AOUTL C2.-'],
      ['C2.- R1.1', 'C2.+ R1.1'],
    ],
    finds: [['error capacitor-reversed', 'C2']],
  },
  'capacitor of too few volts': {
    of: 'vehicle-fed',
    change: [['C6: 10 uF 50 V', 'C6: 10 uF 10 V']],
    finds: [['error rating-exceeded', 'C6']],
  },
  'crystal capacitors of twice the value': {
    of: 'single-ended',
    change: [
      ['C4: 15 pF 50 V', 'C4: 33 pF 50 V'],
      ['C5: 15 pF 50 V', 'C5: 33 pF 50 V'],
    ],
    finds: [['info crystal-load']],
  },
  'clock off its frequency': {
    of: 'single-ended',
    add: 'readings:\n  - U1.XIN: 12.006 MHz\n',
    finds: [['warning clock-off-frequency', '500 ppm']],
  },
  'reset held down': {
    of: 'single-ended',
    change: [['U1.nRESET R5.2', 'U1.nRESET GND\n    - R5.2']],
    finds: [['warning control-held']],
  },
  'mute held up': {
    of: 'single-ended',
    change: [['U1.MUTE R6.1', 'U1.MUTE V33\n    - R6.1']],
    finds: [['warning control-held']],
  },
  'DC on the output': {
    of: 'ground-centred',
    add: 'readings:\n  - J1.tip: 180 mV\n',
    finds: [['warning output-dc', '180 mV']],
  },
  'ohms inside one ground': {
    of: 'single-ended',
    add: 'readings:\n  - {between: [U1.AGND, J1.sleeve], ohms: 6.1 ohm}\n',
    finds: [['warning ground-lifted', '6.1']],
  },
  'ripple on the rail': {
    of: 'usb-fed',
    add: 'readings:\n  - {at: V33, ac: 90 mV}\n',
    finds: [['warning supply-ripple']],
  },
  'probe clip on the driven sleeve': {
    of: 'capless headphones',
    add: 'captures:\n  one: {ground-lead: J1.sleeve}\n',
    finds: [['error ground-lead-hazard']],
  },
  'probe clip on a bridge leg': {
    of: 'bridge into a loudspeaker',
    add: 'captures:\n  one: {ground-lead: LS1.-}\n',
    finds: [['error ground-lead-hazard', 'a leg of a bridge']],
  },
  'an output pin at the crystal': {
    of: 'single-ended',
    change: [
      ['U1.XIN Y1.1 C4.1', 'U1.XIN'],
      ['U1.AOUTL C2.+', 'U1.AOUTL C2.+ Y1.1 C4.1'],
    ],
    finds: [['warning pin-role-contradicted', 'crystal']],
  },
  'a pin name that is none': {
    of: 'single-ended',
    change: [['U1.AOUTL C2.+', 'U1.AOUTX C2.+']],
    finds: [['error unknown-reference', 'AOUTX']],
  },
  'a pin number beyond the package': {
    of: 'ground-centred',
    change: [['U1.PVSS U1.HPVSS', 'U1.11 U1.HPVSS']],
    finds: [['error pin-out-of-range', '11']],
  },
  'a point twice in one join': {
    of: 'capless headphones',
    change: [['U1.HPL J1.tip', 'U1.HPL J1.tip U1.HPL']],
    finds: [['warning pin-joined-twice']],
  },
  'a slip of the prefix': {
    of: 'single-ended',
    change: [['C2: 22 uF 6.3 V', 'C2: 22 MF 6.3 V']],
    finds: [['error bad-quantity']],
  },
  'volts where ohms belong': {
    of: 'single-ended',
    change: [['R1: 100', 'R1: 100 V']],
    finds: [['error wrong-unit']],
  },
  'a sheet that is not there': {
    of: 'balanced output',
    change: [['pinout: driver', 'pinout: drivre']],
    finds: [['error unknown-reference', 'driver']],
  },
  'a key misspelt': {
    of: 'headset on four poles',
    change: [['wiring: mic-on-sleeve', 'wireing: mic-on-sleeve']],
    finds: [['error unknown-key', 'wiring']],
  },
};
