import { boardFile } from '../dialect/board-file';
import { contextAt, typeAt } from '../dialect/context';
import { pinoutFile } from '../dialect/pinout-file';
import { keyAt, scalarForm } from '../dialect/step';
import { dimensions } from '../quantity/dimension';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';

/** How a quantity may be written at a key, one form a dimension, for the editor's signature help. */
export interface QuantityHelp {
  readonly forms: readonly { readonly label: string; readonly documentation: string }[];
  readonly active: number;
}

/** The forms of the quantity being typed at an offset; undefined where none is. */
export function quantityHelp(analysis: BoardAnalysis | PinoutAnalysis, offset: number): QuantityHelp | undefined {
  const root = analysis.kind === 'board' ? boardFile : pinoutFile;
  const context = contextAt(root, analysis.text, offset);
  const type = scalarForm(context?.value);
  if (!context || (type?.kind !== 'quantity' && type?.kind !== 'range')) return undefined;
  const name = String(context.path.findLast((step) => typeof step === 'string') ?? '');
  const holder = typeAt(root, context.path.slice(0, context.path.lastIndexOf(name)));
  const doc = keyAt(holder, name)?.doc ?? '';
  const amplitude = type.kind === 'quantity' && type.amplitude ? `, ${type.amplitude.replaceAll('-', ' ')}` : '';
  const forms = type.dimensions.map((dimension) => {
    const entry = dimensions[dimension];
    const units = dimension === 'level' ? entry.spellings : entry.prefixes.map((prefix) => prefix + entry.base);
    const bare = dimension === 'level' ? '' : ` A bare number is in ${entry.base}.`;
    return {
      label: `${name}: ${entry.name}${amplitude}`,
      documentation: `${doc} Such as ${entry.example}; ${units.join(', ')}.${bare}`.trim(),
    };
  });
  const letters = /[A-Za-zµΩ%]+$/.exec(context.prefix.trim())?.[0].toLowerCase();
  const fits = type.dimensions.findIndex(
    (dimension) =>
      letters !== undefined && dimensions[dimension].spellings.some((unit) => letters.endsWith(unit.toLowerCase())),
  );
  return { forms, active: Math.max(0, fits) };
}
