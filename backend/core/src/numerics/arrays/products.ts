/** Sum of the products of two rows. In a loop: the limit of false alarms takes it some hundred thousand times. */
export function innerProduct(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}

/** a' M b with a square matrix, row after row. */
export function bilinearForm(matrix: ArrayLike<number>, a: ArrayLike<number>, b: ArrayLike<number>): number {
  const size = a.length;
  let sum = 0;
  for (let i = 0; i < size; i++) {
    let along = 0;
    for (let j = 0; j < size; j++) along += matrix[i * size + j]! * b[j]!;
    sum += a[i]! * along;
  }
  return sum;
}
