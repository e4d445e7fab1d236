// Axes that stay where they are while shots arrive, and widen in steps.

// The next step of 1, 2, 2.5 or 5 times a power of ten that cuts `span` into about `n` parts.
export function niceStep(span, n = 5) {
  const rough = Math.max(span, 1e-9) / n;
  const power = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 2.5, 5, 10].map((factor) => factor * power).find((step) => step >= rough * 0.999);
}

// A range in whole steps around all values; never narrower than `kept`, the range drawn before.
export function widened(values, kept = null, margin = 0.08, smallest = 0) {
  const known = values.filter(Number.isFinite);
  if (!known.length) return kept ?? { low: 0, high: 1, step: 0.2 };
  let low = Math.min(...known), high = Math.max(...known);
  const room = Math.max((high - low) * margin, smallest / 2 - (high - low) / 2, Math.abs(high) * 1e-3, 1e-6);
  if (kept && low >= kept.low && high <= kept.high) return kept;
  low -= room;
  high += room;
  if (kept) { low = Math.min(low, kept.low); high = Math.max(high, kept.high); }
  const step = niceStep(high - low);
  return { low: Math.floor(low / step + 1e-9) * step, high: Math.ceil(high / step - 1e-9) * step, step };
}
