/** The robust distance of src/compare/robustDistance.ts written out in plain loops: sorted lists, no shared helper, the inverse by Gauss and Jordan. */

function sortedMiddle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  return n % 2 === 1 ? sorted[(n - 1) / 2]! : (sorted[n / 2 - 1]! + sorted[n / 2]!) / 2;
}

function inverse(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const work = matrix.map((row, i) => [...row, ...row.map((_, k) => (k === i ? 1 : 0))]);
  for (let c = 0; c < n; c++) {
    let best = c;
    for (let r = c; r < n; r++) if (Math.abs(work[r]![c]!) > Math.abs(work[best]![c]!)) best = r;
    [work[c], work[best]] = [work[best]!, work[c]!];
    const pivot = work[c]![c]!;
    work[c] = work[c]!.map((value) => value / pivot);
    for (let r = 0; r < n; r++) {
      const factor = work[r]![c]!;
      if (r !== c) work[r] = work[r]!.map((value, k) => value - factor * work[c]![k]!);
    }
  }
  return work.map((row) => row.slice(n));
}

/** One list a quantity, one value a swing; nothing missing. */
export function slowDistances(values: readonly (readonly number[])[], margins: readonly number[]): number[] {
  const n = values[0]!.length;
  const p = values.length;
  const spreads: number[] = [];
  const middles: number[] = [];
  for (let j = 0; j < p; j++) {
    const middle = sortedMiddle(values[j]!);
    middles.push(middle);
    spreads.push((1.482602218505602 * sortedMiddle(values[j]!.map((x) => Math.abs(x - middle)))) / margins[j]!);
  }
  const common = sortedMiddle(spreads);
  const z: number[][] = [];
  for (let j = 0; j < p; j++) {
    const square = (4 * common * common + (n - 1) * spreads[j]! * spreads[j]!) / (4 + n - 1);
    const spread = Math.max(0.1, Math.sqrt(square)) * margins[j]!;
    z.push(values[j]!.map((x) => (x - middles[j]!) / spread));
  }
  const unit: number[][] = [];
  for (let j = 0; j < p; j++) {
    const clipped = z[j]!.map((x) => {
      if (x > 2) return 2;
      if (x < -2) return -2;
      return x;
    });
    let sum = 0;
    for (const x of clipped) sum += x;
    let squares = 0;
    for (const x of clipped) squares += (x - sum / n) * (x - sum / n);
    unit.push(clipped.map((x) => (squares > 0 ? (x - sum / n) / Math.sqrt(squares / (n - 1)) : 0)));
  }
  const r: number[][] = [];
  let variances = 0;
  let squares = 0;
  for (let j = 0; j < p; j++) {
    r.push([]);
    for (let k = 0; k < p; k++) {
      let sum = 0;
      for (let i = 0; i < n; i++) sum += unit[j]![i]! * unit[k]![i]!;
      const mean = sum / n;
      let spread = 0;
      for (let i = 0; i < n; i++) {
        const w = unit[j]![i]! * unit[k]![i]!;
        spread += (w - mean) * (w - mean);
      }
      const correlation = sum / (n - 1);
      r[j]!.push(j === k ? 1 : correlation);
      if (j !== k) {
        variances += (n * spread) / ((n - 1) * (n - 1) * (n - 1));
        squares += correlation * correlation;
      }
    }
  }
  let intensity = squares > 0 ? variances / squares : 1;
  if (intensity > 1) intensity = 1;
  if (intensity < 0.1) intensity = 0.1;
  const shrunk = r.map((row, j) => row.map((value, k) => (j === k ? 1 : (1 - intensity) * value)));
  const inverted = inverse(shrunk);
  const out: number[] = [];
  for (let i = 0; i < n; i++) {
    let square = 0;
    for (let j = 0; j < p; j++) for (let k = 0; k < p; k++) square += z[j]![i]! * inverted[j]![k]! * z[k]![i]!;
    out.push(Math.sqrt(square / p));
  }
  return out;
}
