import { describe, expect, it } from 'vitest';
import { foldPinName, inferPin } from '../../server/src/board/pin-roles';

/** Role → names as data sheets spell them. Compiled from trade habit, mostly from memory: common practice, no single source. */
const table: Readonly<Record<string, string>> = {
  supply:
    'VDD VCC V+ VP VIN PVDD VS VM AVDD AVCC VDDA VCCA AVD DVDD DCVDD DBVDD VDDIO VCCIO IOVDD VDDC HPVDD CPVDD SPKVDD PVCC VBAT BAT B+ VSYS VBUS V5 USB5V',
  ground: 'GND VSS AGND AVSS VSSA DGND DVSS PGND HPGND SGND EP VEE V- V−',
  'supply-out': 'LDO VOUT VREG VDD18 VCORE VCAP MICBIAS MICB',
  reference: 'VMID VCOM VREF VCM VBIAS REFCAP',
  clock: 'XTALI XTALO XI XO XIN XOUT OSCI OSCO XTAL1 XTAL2 X1 X2 CLKIN MCLK',
  'audio-out':
    'DACL DACR AOUTL AOUTR LOUT ROUT LINEOUTL VOUTL OUTL HPL HPR HPOUTL HPOUTR HPOUT_L OUTP OUTN SPKP SPKN SPOUTLP VO+ VO− VO- LOUTP LOUTN OUT+ HP-OUT-L',
  'audio-in': 'MICIN MICP MICN MIC1P',
  antenna: 'ANT RF RFIO RF_P RF_N BALUN',
  data: 'SDA SCL TX RX TXD RXD BCLK LRCK WS SDIN SDOUT DIN DOUT DP DM D+ D− D- USBDP',
  control: 'RESET RST RESETB nRESET /RST RST# XRES SHDN EN CE STBY MUTE',
  'not-connected': 'NC N.C. NIC',
  'do-not-connect': 'DNC DNU RSVD',
  test: 'TEST',
};
const rows = Object.entries(table).flatMap(([role, names]) => names.split(' ').map((name) => [name, role] as const));

describe('roles from pin names', () => {
  it.each(rows)('%s is %s', (name, role) => {
    expect(inferPin(name).role).toBe(role);
  });

  it.each(rows.filter(([name]) => !/^n[A-Z]/.test(name)))('%s in small letters is %s too', (name, role) => {
    expect(inferPin(name.toLowerCase()).role).toBe(role);
  });

  it.each([
    ['HPOUT_L', 'HP-OUT-L', 'HPOUTL', 'HP OUT L', 'hpout.l'],
    ['Vout L', 'VOUT_L', 'VOUTL'],
    ['D−', 'D-', 'D–'],
    ['N.C.', 'NC', 'n c'],
  ])('%s and its other spellings fold to one', (...names) => {
    expect(new Set(names.map(foldPinName)).size).toBe(1);
  });

  it('keeps polarity apart: plus and minus are not one', () => {
    expect(foldPinName('VO+')).not.toBe(foldPinName('VO-'));
    expect(foldPinName('D+')).not.toBe(foldPinName('D-'));
    expect(inferPin('OUTP').leg).toBe('positive');
    expect(inferPin('OUT-').leg).toBe('negative');
    expect(inferPin('SPOUTLN')).toMatchObject({ channel: 'left', leg: 'negative' });
  });

  it('reads the side', () => {
    for (const name of ['DACL', 'LOUT', 'HPOUT_L', 'VOUTL', 'AOUT_LEFT'])
      expect(inferPin(name).channel, name).toBe('left');
    for (const name of ['DACR', 'ROUT', 'HPR', 'VOUT R', 'OUT_RIGHT'])
      expect(inferPin(name).channel, name).toBe('right');
    expect(inferPin('SPKP').channel).toBeUndefined();
  });

  it('reads the marks of active-low control pins', () => {
    for (const name of ['/RST', '!RESET', '~MUTE', 'nRESET', 'RST#', 'RESET_N', 'RESETB', 'SHDN_n'])
      expect(inferPin(name), name).toMatchObject({ role: 'control', active: 'low' });
    for (const name of ['RESET', 'SHDN', 'EN', 'MUTE']) expect(inferPin(name).active, name).toBeUndefined();
  });

  it.each(['', 'FOO', 'Q7', 'KEY_MATRIX_A', 'HELLO WORLD', '§', '__'])('guesses nothing for %j', (name) => {
    expect(inferPin(name).role).toBeUndefined();
  });
});
