// The spread of the values of one block.

export function mean(values) {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

export function deviation(values) {
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1));
}

// Factor of Student's t for 90 % with n - 1 degrees of freedom: Abramowitz and Stegun, Handbook of
// Mathematical Functions (1964), table 26.10; between its rows the larger is taken.
const T_90 = [[1, 6.314], [2, 2.92], [3, 2.353], [4, 2.132], [5, 2.015], [6, 1.943], [7, 1.895], [8, 1.86], [9, 1.833], [10, 1.812],
  [12, 1.782], [15, 1.753], [20, 1.725], [30, 1.697], [60, 1.671]];

// Where the middle of a block lies with 90 % probability, from the block alone; null for fewer than 3.
export function middleBand(values) {
  if (values.length < 3) return null;
  const row = T_90.findLast(([df]) => df <= values.length - 1);
  const middle = mean(values), half = (row[1] * deviation(values)) / Math.sqrt(values.length);
  return { middle, low: middle - half, high: middle + half };
}
