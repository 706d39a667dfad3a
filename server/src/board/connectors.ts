/** What the contacts of a connector style are, and what each carries. */

export type ContactDuty =
  | 'left'
  | 'right'
  | 'mono'
  | 'hot'
  | 'cold'
  | 'common'
  | 'microphone'
  | 'power'
  | 'ground'
  | 'data'
  | 'shell'
  | 'switch';

export interface Style {
  readonly contacts: readonly string[];
  /** The duty of each contact in the default wiring. */
  readonly duties: Readonly<Record<string, ContactDuty>>;
  /** Whether a headphone or headset may be plugged in, floating, rather than gear that may be earthed. */
  readonly jack: boolean;
}

const usb: Record<string, ContactDuty> = {
  vbus: 'power',
  dp: 'data',
  dm: 'data',
  gnd: 'ground',
  shield: 'shell',
};
const style = (duties: Record<string, ContactDuty>, jack = false): Style => ({
  contacts: Object.keys(duties),
  duties,
  jack,
});
const switches: Record<string, ContactDuty> = { 'tip-switch': 'switch', 'ring-switch': 'switch', detect: 'switch' };

/** By style name. Tip left, ring right, sleeve common: convention of three-pole stereo plugs; XLR: AES14-1992, pin 2 hot. */
export const styles: Readonly<Record<string, Style>> = {
  'jack-ts': style({ tip: 'mono', sleeve: 'common', ...switches }, true),
  'jack-trs': style({ tip: 'left', ring: 'right', sleeve: 'common', ...switches }, true),
  'jack-trrs': style({ tip: 'left', ring1: 'right', ring2: 'common', sleeve: 'microphone', ...switches }, true),
  rca: style({ centre: 'mono', shell: 'common' }),
  'usb-a': style(usb),
  'usb-b': style(usb),
  'usb-micro-b': style({ ...usb, id: 'data' }),
  'usb-c': style({ ...usb, cc1: 'data', cc2: 'data' }),
  'xlr-3': style({ 1: 'common', 2: 'hot', 3: 'cold', shell: 'shell' }),
  barrel: style({ centre: 'power', sleeve: 'ground' }),
  terminal: style({}),
};

/**
 * The duty of a contact under a wiring: `balanced` makes tip hot and ring cold; `mic-on-ring2` exchanges common and microphone.
 * Undefined for a contact the style does not know.
 */
export function dutyOf(
  styleName: string | undefined,
  wiring: string | undefined,
  contact: string,
): ContactDuty | undefined {
  const duty = styleName === undefined ? undefined : styles[styleName]?.duties[contact];
  if (duty === undefined) return undefined;
  if (wiring === 'balanced') {
    if (duty === 'left' || (duty === 'mono' && contact === 'tip')) return 'hot';
    if (duty === 'right') return 'cold';
  }
  if (wiring === 'mic-on-ring2') {
    if (contact === 'ring2') return 'microphone';
    if (contact === 'sleeve') return 'common';
  }
  return duty;
}
