import type { Check } from '../check';
import { aboutFiles } from './about-files';

const names = aboutFiles('unknown-reference', {
  meaning:
    'A name that leads nowhere: a pin the part has not, a pinout that is not in reach, a state nobody made, a word that is not in its list.',
  causes:
    'A slip of the finger; a pinout file that is not in the workspace yet; another name for the pin on another revision of the data sheet.',
  next: 'Take the nearest spelling offered, or give the pin by its number.',
  source: 'The names in the board and its pinouts.',
  blind:
    "A part met only in joins exists with unknown value, and a net without an entry has no role yet: neither is a finding. A chip's short form may be just its type. A part and its dot, `U1.`, is still being typed: it names no pin, and nothing is said of it.",
});

export const unknownReference: Check = {
  ...names,
  run: (snapshot, told) => {
    const { parts } = snapshot.board.at();
    const begun = (text: string) => text.endsWith('.') && parts.has(text.slice(0, -1));
    return names
      .run(snapshot, told)
      .filter(({ span }) => !begun(snapshot.text.slice(span.start, span.end).replaceAll(/["']/g, '')));
  },
};
