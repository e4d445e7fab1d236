// A window of traces from the desk: asked for one at a time, the newest wish wins.

export async function fetchWindow(address, panels, from, to, columns) {
  const query = new URLSearchParams({ panels: panels.join(","), columns: String(columns) });
  if (Number.isFinite(from)) query.set("from", String(from));
  if (Number.isFinite(to)) query.set("to", String(to));
  const response = await fetch(`${address}?${query}`);
  if (!response.ok) return null;
  return parse(await response.arrayBuffer());
}

// Four bytes with the length of the words, the words as JSON, the rows as float32.
function parse(bytes) {
  const length = new DataView(bytes).getUint32(0, true);
  const words = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length)));
  const n = words.n, time = Float64Array.from({ length: n }, (_, k) => words.first + k * words.step);
  const traces = words.traces.map((trace, k) => ({ ...trace, values: known(new Float32Array(bytes, 4 + length + 4 * n * k, n)) }));
  return { ...words, time, traces };
}

// A chart leaves a gap where there is null; NaN would break its scale.
function known(values) {
  return values.some(Number.isNaN) ? Array.from(values, (value) => (Number.isNaN(value) ? null : value)) : values;
}

// Calls `work` with the newest wish; while it runs, later wishes wait and only the last one counts.
export function newestOnly(work) {
  let running = false, wish = null;
  return async (...asked) => {
    wish = asked;
    if (running) return;
    running = true;
    while (wish) {
      const now = wish;
      wish = null;
      await work(...now);
    }
    running = false;
  };
}
