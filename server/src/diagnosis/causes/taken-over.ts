import type { Predicting } from './predict';
import type { Prediction, Staged } from './staged';

/** Whether two takes are of the same points under the same programme, so that every hypothesis shows the same on both. */
export function same(a: Staged, b: Staged): boolean {
  const { side, kind, bands, programmes, into } = a.take;
  return (
    side === b.take.side &&
    kind === b.take.kind &&
    into.length === 0 &&
    b.take.into.length === 0 &&
    a.contexts.length === b.contexts.length &&
    a.contexts.every((context, k) => context === b.contexts[k] && bands[k]!.weight === b.take.bands[k]!.weight) &&
    a.ports.every((row, k) => row.length === b.ports[k]!.length && row.every((port, n) => port === b.ports[k]![n])) &&
    programmes.length === b.take.programmes.length &&
    programmes.every(({ left, right }, k) => {
      const other = b.take.programmes[k]!;
      return left === other.left && right === other.right;
    })
  );
}

/** Takes over what one take shows in a prediction as what another shows in one that is being made; takes come in their order. */
export function copy(
  from: Prediction,
  t: number,
  first: number,
  into: Predicting,
  to: number,
  count: number,
  columns: boolean,
): void {
  into.correlations.push(from.correlations[t]);
  into.ranges.push(from.ranges[t] as [number, number] | undefined);
  copySlots(from, first, into, to, count, columns);
}

export function copySlots(
  from: Prediction,
  first: number,
  into: Predicting,
  to: number,
  count: number,
  columns: boolean,
) {
  const one = (source: Float64Array, target: Float64Array) => {
    for (let k = 0; k < 2 * count; k++) target[2 * to + k] = source[2 * first + k]!;
  };
  one(from.values, into.values);
  if (!columns) return;
  for (const [name, column] of from.columns) {
    let target = into.columns.get(name);
    if (!target) {
      target = new Float64Array(into.values.length);
      into.columns.set(name, target);
    }
    one(column, target);
  }
}
