/** How cells of a CSV file write numbers, as far as its layout must know. */

export type Decimal = '.' | ',';

const numeric = {
  '.': /^[+\-−]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i,
  ',': /^[+\-−]?\d*(,\d+)?(?<=\d)(e[+-]?\d+)?$/i,
};

/** Whether a cell is a number and nothing else. */
export const isNumber = (text: string, decimal: Decimal): boolean => numeric[decimal].test(text);

/** What instruments write in place of a number: over range, or none. */
const instead = /^([+-]?(o\.?l\.?|ovl|ovrflw|over(load|flow|[ -]?range)?|inf(inity)?|nan|n\/a|∞)|[*?#-]+)$/i;

/** Whether a cell is a number, or what stands for one. */
export const isNumeric = (text: string, decimal: Decimal): boolean => isNumber(text, decimal) || instead.test(text);

/** A cell that is a number, as one. */
export const toNumber = (text: string, decimal: Decimal): number =>
  Number((decimal === ',' ? text.replace(',', '.') : text).replaceAll('−', '-'));

/** What rows hold instead of plain numbers, where that can be told. */
export function whyNot(rows: readonly string[]): string {
  const cells = rows.flatMap((row) => row.split(/[;\t|]|"/)).map((cell) => cell.trim());
  if (cells.some((cell) => /^[+\-−]?\d{1,3}([.,'’\u00a0\u202f ]\d{3})+([.,]\d+)?$/.test(cell)))
    return ': numbers with thousands separators are not read, save them without';
  const parts = rows.flatMap((row) => row.split(/[;,\t|]/)).map((cell) => cell.trim());
  const units = parts.filter((cell) => /^[+\-−]?\d+([.,]\d+)?\s*[munkMµμ]?(V|A|s|Hz|Ω)$/.test(cell));
  return units.length > 0 ? `: units stand beside the numbers ("${units[0]}"), save them without` : '';
}
