// The traces of one recording: panels on one clock that zoom and move together.
import uPlot from "../vendor/traces.mjs";
import { colours, faces, letter, onLook } from "./colours.js";
import { widened } from "./steps.js";
import { fetchWindow, newestOnly } from "./trace_window.js";

const LEAST_S = 0.02; // the narrowest window: 20 ms
const AROUND_S = [0.6, 0.5]; // what is shown before the first movement and after the strike

const stack = document.getElementById("stack"), place = document.getElementById("plots");
const plots = new Map(), ranges = new Map();
let shown = null, view = null, drawn = null;

export function chosenPanels() {
  return [...document.querySelectorAll("#panels input:checked")].map((box) => box.value);
}

export function traceWords() {
  return shown;
}

export function viewNow() {
  return view;
}

const ask = newestOnly(async () => {
  if (!stack) return;
  const columns = Math.max(Math.round(place.clientWidth * Math.min(devicePixelRatio, 2)), 200);
  const found = await fetchWindow(stack.dataset.from, chosenPanels(), view?.from, view?.to, columns);
  if (!found) return;
  shown = found;
  view ??= firstView();
  draw();
  dispatchEvent(new Event("traces-drawn"));
});

// First the swing, if one was found; then what was looked at last.
function firstView() {
  const [low, high] = shown.whole, move = shown.marks.find(([name]) => name === "first move");
  if (!shown.strike || !move) return { from: low, to: high };
  return { from: Math.max(low, move[1] - AROUND_S[0]), to: Math.min(high, shown.strike.at + AROUND_S[1]) };
}

export function loadTraces() {
  return ask();
}

export function look(from, to) {
  if (!shown) return;
  const [low, high] = shown.whole, wide = Math.min(Math.max(to - from, LEAST_S), high - low);
  const start = Math.min(Math.max(from + (to - from - wide) / 2, low), high - wide);
  view = { from: start, to: start + wide };
  for (const plot of plots.values()) plot.setScale("x", { min: view.from, max: view.to });
  dispatchEvent(new Event("traces-drawn"));
  ask();
}

export function zoom(factor, about = null) {
  if (!view) return;
  const middle = about ?? (view.from + view.to) / 2;
  look(middle - (middle - view.from) * factor, middle + (view.to - middle) * factor);
}

export function move(share) {
  if (view) look(view.from + share * (view.to - view.from), view.to + share * (view.to - view.from));
}

export function showWhole() {
  if (shown) look(...shown.whole);
}

export function showSwing() {
  if (!shown) return;
  const swing = firstView();
  look(swing.from, swing.to);
}

// Where an instant lies, in px from the left of the stack; and back.
export function placeOf(time) {
  const plot = plots.values().next().value;
  return plot && view ? plot.over.getBoundingClientRect().left - stack.getBoundingClientRect().left + plot.valToPos(time, "x") : null;
}

export function timeAt(clientX) {
  const plot = plots.values().next().value;
  return plot ? plot.posToVal(clientX - plot.over.getBoundingClientRect().left, "x") : null;
}

function draw() {
  const panels = [...new Set(shown.traces.map((trace) => trace.panel))];
  const wanted = `${panels.join()}|${place.clientWidth}|${shown.traces.map((one) => one.key).join()}|${shown.strike?.at}`;
  if (wanted !== drawn) build(panels);
  drawn = wanted;
  for (const [panel, plot] of plots) {
    const mine = shown.traces.filter((trace) => trace.panel === panel);
    const values = mine.flatMap((trace) => ends(trace.values));
    const range = widened(values, ranges.get(panel), 0.08);
    ranges.set(panel, range);
    plot.batch(() => {
      plot.setData([shown.time, ...mine.map((trace) => trace.values)], false);
      plot.setScale("x", { min: view.from, max: view.to });
      plot.setScale("y", { min: range.low, max: range.high });
    });
  }
  place.setAttribute("aria-label", words(panels));
}

function ends(values) {
  let low = Infinity, high = -Infinity;
  for (const value of values) if (value !== null) { if (value < low) low = value; if (value > high) high = value; }
  return low <= high ? [low, high] : [];
}

function words(panels) {
  const zero = shown.strike ? `from the strike at ${shown.strike.at.toFixed(3)} s, ${shown.strike.from}` : "on the clock of the recording";
  return `Traces ${zero}: ${panels.map((panel) => shown.titles[panel]).join("; ")}`;
}

function build(panels) {
  for (const plot of plots.values()) plot.destroy();
  plots.clear();
  place.replaceChildren();
  for (const panel of panels) {
    const box = document.createElement("div");
    box.className = "trace-panel";
    place.append(box);
    const mine = shown.traces.filter((trace) => trace.panel === panel);
    const title = document.createElement("p");
    title.className = "trace-title";
    title.append(`${shown.titles[panel]}: `, legend(mine));
    box.append(title);
    plots.set(panel, new uPlot(options(panel, mine, box, panel === panels.at(-1)), [shown.time, ...mine.map((trace) => trace.values)], box));
  }
}

function legend(mine) {
  const node = document.createElement("span");
  node.className = "trace-legend";
  for (const trace of mine.filter((one) => one.label)) {
    const key = document.createElement("span");
    key.className = `trace-key trace-${trace.key}`;
    key.textContent = trace.label;
    node.append(key);
  }
  return node;
}

function styleOf(key, c) {
  return {
    lead: { stroke: c.after, width: 1.8 },
    trail: { stroke: c.before, width: 1.6, dash: [6, 4] },
    together: { stroke: c.ink, width: 2 },
    frontal: { stroke: c.turf, width: 1.8, dash: [2, 3] },
    frontal_low: { stroke: "transparent", width: 0 },
    frontal_high: { stroke: "transparent", width: 0 },
  }[key] ?? { stroke: c.ink, width: 1 };
}

function options(panel, mine, box, isLast) {
  const c = colours(), size = letter(), font = `${size * 0.92}px ${faces().numbers}`;
  const axis = { stroke: c.soft, font, grid: { stroke: c.line, width: 1, dash: [1, 4] }, ticks: { stroke: c.edge, width: 1 } };
  const band = ["frontal_high", "frontal_low"].map((key) => mine.findIndex((trace) => trace.key === key) + 1);
  return {
    width: Math.max(place.clientWidth, 120), height: (isLast ? 2.4 : 0.8) * size + Math.max(8.2 * size, Math.min(innerHeight * 0.2, 190)),
    legend: { show: false }, cursor: { show: false }, pxAlign: 0, padding: [size * 0.4, size * 0.7, 0, 0],
    scales: { x: { time: false, auto: false, min: view.from, max: view.to }, y: { auto: false, min: 0, max: 1 } },
    axes: [
      { ...axis, size: isLast ? size * 2.4 : size * 0.8, values: (_, marks) => (isLast ? marks.map(fromStrike) : marks.map(() => "")), splits: (u, _, low, high, step) => splitsAbout(low, high, step) },
      { ...axis, size: size * 3.2, space: 26, values: (_, marks) => marks.map((mark) => String(mark).replace("-", "−")) },
    ],
    series: [{}, ...mine.map((trace) => ({ ...styleOf(trace.key, c), points: { show: false }, spanGaps: false, pxAlign: 0 }))],
    bands: band.every((place_) => place_ > 0) ? [{ series: band, fill: `color-mix(in srgb, ${c.turf} 18%, transparent)` }] : [],
    hooks: { drawClear: [(u) => marks(u, c, size)] },
  };
}

// Round times are those from the strike.
function splitsAbout(low, high, step) {
  const zero = shown.strike?.at ?? 0, found = [];
  for (let at = Math.ceil((low - zero) / step) * step; at <= high - zero + 1e-9; at += step) found.push(zero + at);
  return found;
}

function fromStrike(time) {
  const since = time - (shown.strike?.at ?? 0), wide = view ? view.to - view.from : 1;
  const text = wide < 0.6 ? `${(1000 * since).toFixed(wide < 0.05 ? 1 : 0)} ms` : `${since.toFixed(wide < 6 ? 1 : 0)} s`;
  return /^-?0(\.0+)? /.test(text) ? (shown.strike ? "strike" : text.replace("-", "")) : text.replace("-", "−");
}

function marks(u, c, size) {
  const ctx = u.ctx, ratio = devicePixelRatio, { top, height, left, width } = u.bbox;
  ctx.save();
  ctx.strokeStyle = c.edge;
  ctx.fillStyle = c.soft;
  ctx.font = `${size * 0.85 * ratio}px ${faces().words}`;
  ctx.setLineDash([2 * ratio, 3 * ratio]);
  for (const [name, at] of shown.marks) {
    const x = u.valToPos(at, "x", true);
    if (x < left || x > left + width) continue;
    ctx.beginPath();
    ctx.moveTo(x, top);
    ctx.lineTo(x, top + height);
    ctx.stroke();
    ctx.fillText(name, x + 4 * ratio, top + size * ratio);
  }
  ctx.restore();
}

function redraw() {
  if (!shown) return;
  drawn = null;
  draw();
  dispatchEvent(new Event("traces-drawn"));
}

if (place) {
  onLook(redraw);
  let wide = place.clientWidth;
  new ResizeObserver(() => {
    if (place.clientWidth === wide) return;
    wide = place.clientWidth;
    redraw();
    if (view) ask();
  }).observe(place);
}
