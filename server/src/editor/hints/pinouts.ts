import { inferPin } from '../../board/pin-roles';
import type { Pinout } from '../../board/pinout';
import type { PinEntry } from '../../dialect/pinout-file';
import type { InlayHint } from '../inlay-hints';
import { asMap, keysBehind } from './explicit';

type PinEntries = readonly { readonly key: { readonly text: string }; readonly value: PinEntry }[];

/** Behind a pin's name the role that follows from it, or that none does; written out when taken. */
export const roleHints = (text: string, pinout: Pinout | undefined, entries: PinEntries): InlayHint[] =>
  entries.flatMap(({ key, value }): InlayHint[] => {
    const spec = pinout?.pins.get(key.text.trim().toUpperCase());
    const map = value.map?.value;
    const name = value.scalar ?? map?.name;
    if (!spec || !name?.value || map?.role) return [];
    const at = { offset: name.span.end, kind: 'role' as const };
    const { role, channel } = inferPin(name.value);
    if (!role) return [{ ...at, label: 'no role', tooltip: 'No role follows from this name: `role` says one.' }];
    const added = { role, ...(channel && !map?.channel && { channel }) };
    const edit = value.map
      ? keysBehind(text, value.map, 'name', name.span, added)
      : asMap(text, 'name', { span: name.span, text: name.text }, added);
    const tooltip = 'Read from the name; `role` says otherwise.';
    return [{ ...at, label: Object.values(added).join(', '), tooltip, ...(edit && { edit }) }];
  });
