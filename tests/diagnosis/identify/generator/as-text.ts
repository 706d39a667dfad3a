import { rails } from './habits';
import type { Shown } from './world';

/** A generated board as a person would write it down: for each pin the parts and joins that show what was seen of it. */
export function asText(shown: readonly Shown[], pinout: string): string {
  const parts: string[] = [`  U1: {pinout: ${pinout}}`];
  const joins: string[] = [];
  const readings: string[] = [];
  const nets = new Set<string>();
  const write = ({ written, lead, dc }: Shown, index: number): unknown => {
    const pin = `U1.${written + 1}`;
    const k = index + 1;
    const part = (entry: string) => parts.push(`  ${entry}`);
    const join = (text: string) => joins.push(`    - ${text}`);
    if (!lead) return readings.push(`  - ${pin}: ${dc!.toFixed(3)} V`);
    const contact = () => {
      part(`J${k}: {style: ${lead.side === 'mono' ? 'jack-ts' : 'jack-trs'}}`);
      return `J${k}.${lead.side === 'right' ? 'ring' : 'tip'}`;
    };
    switch (lead.kind) {
      case 'ground':
        return join(`${pin} GND`);
      case 'supply': {
        const net = lead.rail === undefined ? 'VX' : `V${lead.rail}`;
        nets.add(`  ${net}: {role: supply${lead.rail === undefined ? '' : `, volts: ${rails[lead.rail]} V`}}`);
        return join(`${pin} ${net}`);
      }
      case 'clock':
        part(`Y${k}: 12 MHz`);
        return join(`${pin} Y${k}.1`);
      case 'antenna':
        part(`AE${k}: {}`);
        return join(`${pin} AE${k}`);
      case 'audio-straight':
        return join(`${pin} ${contact()}`);
      case 'audio-coupled':
      case 'audio-divided': {
        const coupled = lead.kind === 'audio-coupled';
        const through = coupled ? `C${k}` : `R${k}`;
        part(`${through}: ${coupled ? '22 uF' : '470'}`);
        join(`${pin} ${through}.1`);
        return join(`${through}.2 ${contact()}`);
      }
      case 'audio-in':
        part(`MK${k}: {}`);
        return join(`${pin} MK${k}.+`);
      case 'common':
        part(`J${k}: {style: jack-trs}`);
        return join(`${pin} J${k}.sleeve`);
      case 'data':
        part(`J${k}: {style: usb-c}`);
        return join(`${pin} J${k}.dp`);
      case 'control':
        part(`SW${k}: {}`);
        join(`${pin} SW${k}.1`);
        return join(`SW${k}.2 GND`);
      case 'reference':
        nets.add(`  N${k}: {role: reference}`);
        return join(`${pin} N${k}`);
      case 'decoupling':
        part(`C${k}: 100 nF`);
        join(`${pin} C${k}.1`);
        return join(`C${k}.2 GND`);
      case 'led':
        part(`R${k}: 1 k`);
        part(`LED${k}: {}`);
        join(`${pin} R${k}.1`);
        return join(`R${k}.2 LED${k}.A`);
      case 'pulled':
        part(`R${k}: 10 k`);
        join(`${pin} R${k}.1`);
        return join(`R${k}.2 GND`);
      case 'line':
        part(`U${k + 1}: {pins: {1: SDA}}`);
        return join(`${pin} U${k + 1}.1`);
      case 'unsettled':
        part(`R${k}: 33`);
        return join(`${pin} R${k}.1`);
      default:
        return join(pin);
    }
  };
  for (const [index, one] of shown.entries()) write(one, index);
  return `board: Generated
complete: true
parts:
${parts.join('\n')}
traces:
  buzzed:
${joins.join('\n')}
nets:
  GND: {role: ground}
${[...nets].join('\n')}
${readings.length > 0 ? `readings:\n${readings.join('\n')}\n` : ''}`;
}
