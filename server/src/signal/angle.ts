/** Radians to degrees. */
export const degrees = (radians: number): number => (radians * 180) / Math.PI;

/** An angle in radians brought into (−π, π]. */
export function wrap(radians: number): number {
  const turned = radians - 2 * Math.PI * Math.round(radians / (2 * Math.PI));
  return turned <= -Math.PI ? turned + 2 * Math.PI : turned;
}
