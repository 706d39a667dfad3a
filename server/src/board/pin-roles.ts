/**
 * What a pin is for, read from its name: the trade's usual spellings (no single source: compiled from data-sheet habit).
 * Case and separators are folded, polarity marks are kept apart; what matches nothing has no role, never a guessed one.
 */

export type PinRole =
  | 'ground'
  | 'supply'
  | 'supply-out'
  | 'audio-out'
  | 'audio-in'
  | 'reference'
  | 'clock'
  | 'antenna'
  | 'data'
  | 'control'
  | 'chassis'
  | 'mains'
  | 'not-connected'
  | 'do-not-connect'
  | 'test';

export interface NamedPin {
  readonly role?: PinRole;
  readonly channel?: 'left' | 'right';
  /** Which leg of a pair a name says it is. */
  readonly leg?: 'positive' | 'negative';
  /** The level at which a control pin acts, where the name marks it. */
  readonly active?: 'high' | 'low';
}

/** A name without case, separators and typographic variants; `+` and `-` at its end stay. */
export function foldPinName(name: string): string {
  return name
    .normalize('NFKC')
    .replace(/[−–—]/g, '-')
    .toUpperCase()
    .replace(/[_./\s~!]/g, '')
    .replace(/-(?=.)/g, '')
    .replace(/(?<=.)[\u0305\u0304]/g, '');
}

/** Name patterns, folded; the first that fits decides. `SIDE` stands for a channel letter or word. */
const patterns: readonly [RegExp, PinRole][] = [
  [/^(NC|NIC|NOCONNECT)\d*$/, 'not-connected'],
  [/^(DNC|DNU|RSVD|RESERVED)\d*$/, 'do-not-connect'],
  [/^(TEST|TST|TM|TMODE)\d*$/, 'test'],
  [/^(EP|PAD|TAB|EPAD|THERMALPAD)$/, 'ground'],
  [/^(CPVSS|PVSS|CPVEE|VNEG|CPOUTN)\d*$/, 'supply-out'],
  [/^(HPVSS|SVSS|VSSHP|HPVEE)\d*$/, 'supply'],
  [/^(VEE|V-)\d*$/, 'ground'],
  [/^([ADPSQ]|HP|SPK|RF|PLL|IO|X|CP|LINE)?GND\d*[A-Z]?$/, 'ground'],
  [/^(A|D|P|S|RF|PLL|IO|X)?VSS(A|D|P|S|IO|RF|PLL|X)?\d*$/, 'ground'],
  [/^(COM|COMMON)$/, 'ground'],
  [/^(MICBIAS|MICB|HPVCM|HPCOM|VHALF)\d*$/, 'supply-out'],
  [/^(VMID|VCOM|VREF[PN]?|VCM|VBIAS|REFCAP|VAG|BYPASS|BYP|FILT\+?)\d*$/, 'reference'],
  [/^(LDO(OUT)?\d*|VOUT|VREG\d*|VDD18|VCORE|VCAP\d*|CPOUT|V\d{1,2}OUT|[A-Z]*LDOOUT|VDDC?OUT|REGOUT)$/, 'supply-out'],
  [/^(VBAT|BAT|B\+|VSYS|VBUS\d*|V5|USB5V|5V|3V3|1V8|V\+|VP|VIN\d*|VS|VM|VPP|VPWR|PWR|DCIN)$/, 'supply'],
  [
    /^(A|D|P|HP|SPK|CP|DB|DC|PLL|RF|IO|USB|LINE|MIC|PV|X|C|Q|S|L|R)?V(DD|CC)(A|D|P|S|IO|C|PLL|RF|USB|HP|SPK|Q|X|L|R|H|LV|HV)*\d*$/,
    'supply',
  ],
  [/^(AVD|IOVDD|VIO|AVC|DVD|PVD)$/, 'supply'],
  [
    /^(XTAL?[IO]|XTAL?(IN|OUT)|XTAL[12]|XI|XO|XIN|XOUT|OSC[IO]|OSC(IN|OUT)|OSC[12]|X[12]|XT[12IO]|CLK(IN|OUT)?|MCLK|SYSCLK|REFCLK|X32K(IN|OUT)?|XTLI|XTLO)$/,
    'clock',
  ],
  [/^(ANT\d*|RF|RFIO|RF[PN]|RFIN|RFOUT|BTRF|BALUN|RFANT|ANTENNA)$/, 'antenna'],
  [
    /^(DP|DM|D\+|D-|USBDP|USBDM|USBD\+|USBD-|UDP|UDM|SDA|SCL|TX\d*|RX\d*|TXD\d*|RXD\d*|BCLK|BCK|LRCK|LRCLK|WS|WCLK|FSYNC|SDIN|SDOUT|DIN|DOUT|DATA|DAT\d*|SDI|SDO|MISO|MOSI|SCK|SCLK|SPI[A-Z]*|I2S[A-Z]*|I2C[A-Z]*|GPIO\w*|IO\d+|P[A-F]\d+|ADC\w*|D\d+|CLKSD|CMDSD|SD(CLK|CMD|D\d))$/,
    'data',
  ],
];

const controls =
  /^(RESET|RST|XRES|SHDN|SHUTDOWN|SHUT|SD|EN|ENABLE|CE|STBY|STANDBY|MUTE|SMUTE|PDN?|PWDN|WAKE|WAKEUP|CS|SS|MODE|SEL|GAIN\d*|PWRKEY|PWRON|KEY\d*|WP|HOLD|WE|OE)$/;

const side = '(L|R|LEFT|RIGHT|LCH|RCH|L\\d|R\\d)';
const audioOut: readonly RegExp[] = [
  new RegExp(
    `^(?:DAC|AOUT|AO|OUT|VOUT|LINEOUT|LO|HP|HPOUT|HPO|PHONE|SPK|SPKOUT|SPO|SPOUT|LOUT|VO|AUD|AUDIO|AUDIOOUT|AMPOUT|DACOUT)${side}([PNM+-])?$`,
  ),
  new RegExp(`^${side}(?:OUT|HP|HPOUT|LINEOUT|DAC|DACOUT|SPK|OUTPUT|VOUT|AO)([PNM+-])?$`),
  /^(?:SPK|SPKOUT|SP|SPO|SPOUT|OUT|VO|VOUT|AOUT|DAC|MONO|MONOOUT|LINEOUT|BTL|EP|RCV|HPOUT|AUDOUT|PWM|AO)([PNM+-])$/,
  /^(?:LINEOUT|AOUT|AUDIOOUT|HPOUT|SPKOUT|MONOOUT|DACOUT|OUTA|OUTB|OUT[12])$/,
];
const audioIn: readonly RegExp[] = [
  new RegExp(`^(?:LINEIN|LI|AIN|IN|VIN|AUX|AUXIN|INPUT|AUDIOIN|ADCIN|MIC|MICIN)${side}([PNM+-])?$`),
  new RegExp(`^${side}(?:IN|INPUT|LINEIN|LINE|AIN|AUX|MIC|MICIN)([PNM+-])?$`),
  /^(?:MIC|MICIN|MIC\d|AIN|IN|LINEIN|AUX|INPUT|AUDIN|MICIN\d)([PNM+-])$/,
  /^(?:MIC|MICIN|LINEIN|AUDIOIN|AUXIN|AIN\d?|IN[12AB]|INPUT)$/,
];

/** The role, channel, leg and active level a pin name says, each only where it does. */
export function inferPin(written: string): NamedPin {
  const name = foldPinName(written);
  for (const [pattern, role] of patterns) if (pattern.test(name)) return { role };
  for (const [list, role] of [
    [audioOut, 'audio-out'],
    [audioIn, 'audio-in'],
  ] as const) {
    for (const pattern of list) {
      const match = pattern.exec(name);
      if (!match) continue;
      const groups = match.slice(1).filter((group) => group !== undefined);
      const sideText = groups.find((group) => /^[LR]/.test(group));
      const legText = groups.find((group) => /^[PNM+-]$/.test(group));
      return {
        role,
        ...(sideText && { channel: sideText.startsWith('L') ? ('left' as const) : ('right' as const) }),
        ...(legText && { leg: /[P+]/.test(legText) ? ('positive' as const) : ('negative' as const) }),
      };
    }
  }
  return control(written, name);
}

/** Reset, enable, mute and their like, with the marks the trade puts on active-low names: /X, !X, ~X, nX, X#, X_N, XB, an overbar. */
function control(written: string, folded: string): NamedPin {
  const low = /^[/!~]|^n(?=[A-Z])|#$|[_-][Nn]$|\u0305|\u0304/.test(written.trim());
  const bare = folded.replace(/#$/, '');
  const candidates = [bare, bare.replace(/^N(?=.)/, ''), bare.replace(/[NB]$/, '')];
  const hit = candidates.findIndex((name) => controls.test(name));
  if (hit < 0) return {};
  const marked = low || (hit > 0 && candidates[hit] !== bare);
  return { role: 'control', ...(marked && { active: 'low' as const }) };
}
