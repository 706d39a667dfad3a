/**
 * An order in which unknowns may be eliminated with little fill: always the one that hangs together with the fewest others next,
 * ties by number (minimum degree: Tinney and Walker, Proc. IEEE 55, 1967, 1801; from memory).
 * @param pairs the pattern's entries, row and column; taken as going both ways
 */
export function minimumDegree(size: number, row: Int32Array, column: Int32Array): Int32Array {
  const beside = Array.from({ length: size }, () => new Set<number>());
  for (let k = 0; k < row.length; k++) {
    const [a, b] = [row[k]!, column[k]!];
    if (a === b) continue;
    beside[a]!.add(b);
    beside[b]!.add(a);
  }
  const order = new Int32Array(size);
  // Unknowns by degree, those of each in rising order as far as nothing was moved.
  const degrees = beside.map((set) => set.size);
  const queue: Set<number>[] = [];
  const put = (k: number) => {
    while (queue.length <= degrees[k]!) queue.push(new Set());
    queue[degrees[k]!]!.add(k);
  };
  for (let k = 0; k < size; k++) put(k);
  let lowest = 0;
  for (let n = 0; n < size; n++) {
    while (queue[lowest]!.size === 0) lowest++;
    const next: number = queue[lowest]!.values().next().value!;
    queue[lowest]!.delete(next);
    order[n] = next;
    const around = [...beside[next]!];
    for (const a of around) {
      const set = beside[a]!;
      set.delete(next);
      for (const b of around) if (b !== a) set.add(b);
      queue[degrees[a]!]!.delete(a);
      degrees[a] = set.size;
      put(a);
      lowest = Math.min(lowest, set.size);
    }
    beside[next]!.clear();
  }
  return order;
}
