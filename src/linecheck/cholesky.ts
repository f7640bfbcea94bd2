/** Symmetric positive definite matrices, packed row by row. */

/** Lower triangle L with L·Lᵀ = A, in place of A's lower triangle. A direction without weight gets an infinite pivot. */
export function cholesky(a: Float64Array, n: number): Float64Array {
  const l = a.slice();
  for (let j = 0; j < n; j++) {
    let pivot = l[j * n + j] as number;
    for (let k = 0; k < j; k++) pivot -= (l[j * n + k] as number) ** 2;
    const root = pivot > 1e-12 ? Math.sqrt(pivot) : Number.POSITIVE_INFINITY;
    l[j * n + j] = root;
    for (let i = j + 1; i < n; i++) {
      let sum = l[i * n + j] as number;
      for (let k = 0; k < j; k++) sum -= (l[i * n + k] as number) * (l[j * n + k] as number);
      l[i * n + j] = sum / root;
    }
  }
  return l;
}

/** L⁻¹·b. */
export function forward(l: Float64Array, n: number, b: Float64Array): Float64Array {
  const x = b.slice();
  for (let i = 0; i < n; i++) {
    let sum = x[i] as number;
    for (let k = 0; k < i; k++) sum -= (l[i * n + k] as number) * (x[k] as number);
    x[i] = sum / (l[i * n + i] as number);
  }
  return x;
}

/** A⁻¹·b of A = L·Lᵀ. */
export function solve(l: Float64Array, n: number, b: Float64Array): Float64Array {
  const x = forward(l, n, b);
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i] as number;
    for (let k = i + 1; k < n; k++) sum -= (l[k * n + i] as number) * (x[k] as number);
    x[i] = sum / (l[i * n + i] as number);
  }
  return x;
}
