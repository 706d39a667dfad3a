/** Sums over two channels without their means, merged block by block so that nothing cancels (Chan, Golub & LeVeque 1983). */
export class PairMoments {
  frames = 0;
  meanA = 0;
  meanB = 0;
  /** Σ(a−ā)², Σ(b−b̄)², Σ(a−ā)(b−b̄). */
  aa = 0;
  bb = 0;
  ab = 0;
  /** Σ of the squared half-sum and half-difference, gathered apart: a deep null must not be the rest of a subtraction. */
  mid = 0;
  side = 0;

  add(a: Float64Array, b: Float64Array): void {
    const n = a.length;
    if (n === 0) return;
    let sumA = 0;
    let sumB = 0;
    for (let i = 0; i < n; i++) {
      sumA += a[i]!;
      sumB += b[i]!;
    }
    const meanA = sumA / n;
    const meanB = sumB / n;
    let aa = 0;
    let bb = 0;
    let ab = 0;
    let mid = 0;
    let side = 0;
    for (let i = 0; i < n; i++) {
      const x = a[i]! - meanA;
      const y = b[i]! - meanB;
      aa += x * x;
      bb += y * y;
      ab += x * y;
      mid += (x + y) * (x + y);
      side += (x - y) * (x - y);
    }
    const both = this.frames + n;
    const share = (this.frames * n) / both;
    const da = meanA - this.meanA;
    const db = meanB - this.meanB;
    this.aa += aa + da * da * share;
    this.bb += bb + db * db * share;
    this.ab += ab + da * db * share;
    this.mid += (mid + (da + db) ** 2 * share) / 4;
    this.side += (side + (da - db) ** 2 * share) / 4;
    this.meanA += (da * n) / both;
    this.meanB += (db * n) / both;
    this.frames = both;
  }
}
