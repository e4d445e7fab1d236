// The spread of balls on the ground, as an ellipse.

// Half-width, in standard deviations, of the ellipse that holds 9 in 10 balls of a normal spread in
// the plane: the square root of the 0.9 quantile of chi-square with 2 degrees of freedom, which is
// -2 ln(1 - 0.9) (closed form).
export const HOLDS_9_IN_10 = Math.sqrt(-2 * Math.log(0.1));

export function mean(values) {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

export function deviation(values) {
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1));
}

// Points along the ellipse, or null where fewer than four balls say nothing of a spread.
export function ellipse(points, n = 72) {
  if (points.length < 4) return null;
  const mx = mean(points.map(([x]) => x)), my = mean(points.map(([, y]) => y));
  let xx = 0, xy = 0, yy = 0;
  for (const [x, y] of points) { xx += (x - mx) ** 2; xy += (x - mx) * (y - my); yy += (y - my) ** 2; }
  [xx, xy, yy] = [xx, xy, yy].map((sum) => sum / (points.length - 1));
  const half = (xx + yy) / 2, root = Math.hypot((xx - yy) / 2, xy);
  const long = Math.sqrt(Math.max(half + root, 0)), short = Math.sqrt(Math.max(half - root, 0));
  const tilt = 0.5 * Math.atan2(2 * xy, xx - yy);
  return Array.from({ length: n + 1 }, (_, k) => {
    const a = (2 * Math.PI * k) / n, u = HOLDS_9_IN_10 * long * Math.cos(a), v = HOLDS_9_IN_10 * short * Math.sin(a);
    return [mx + u * Math.cos(tilt) - v * Math.sin(tilt), my + u * Math.sin(tilt) + v * Math.cos(tilt)];
  });
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
