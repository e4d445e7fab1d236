// One quantity ball by ball, in hitting order, with the band of each block's middle.
import uPlot from "../vendor/traces.mjs";
import { colours, faces, letter, onLook } from "./colours.js";
import { middleBand } from "./spread.js";
import { widened } from "./steps.js";

let plot = null, kept = {}, data = null, key = null;

export function drawRun(run) {
  data = run;
  const list = document.getElementById("run-what");
  if (!list || !data) return;
  key = data.series.some((one) => one.key === key) ? key : data.first ?? data.series[0]?.key;
  if (!data.series.some((one) => one.key === key)) key = data.series[0]?.key;
  list.replaceChildren(...data.series.map((one) => {
    const option = new Option(one.unit ? `${one.name}, ${one.unit}` : one.name, one.key);
    option.selected = one.key === key;
    return option;
  }));
  list.onchange = () => { key = list.value; redraw(); };
  redraw();
}

function chosen() {
  return data?.series.find((one) => one.key === key);
}

// Each stretch of consecutive balls of one role: where it begins and ends, and its values that count.
function stretches(values) {
  const found = [];
  data.places.forEach((place, k) => {
    const last = found.at(-1);
    if (!last || last.role !== data.roles[k]) found.push({ role: data.roles[k], from: place, to: place, values: [] });
    const stretch = found.at(-1);
    stretch.to = place;
    if (values[k] !== null && !data.leftOut[k]) stretch.values.push(values[k]);
  });
  return found;
}

function redraw() {
  const place = document.getElementById("run"), series = chosen();
  if (!place || !series) return;
  const values = series.values;
  kept[key] = widened(values.filter((value) => value !== null), kept[key], 0.12);
  const last = data.places.at(-1) ?? 1;
  kept.places = Math.max(kept.places ?? 0, Math.ceil((last + 1) / 5) * 5);
  plot?.destroy();
  place.replaceChildren();
  plot = new uPlot(options(place, series, kept[key]), [data.places, values], place);
  place.setAttribute("aria-label", words(series));
}

function words(series) {
  const parts = [["before", "before"], ["with_change", "with the change"]].map(([role, name]) => {
    const values = series.values.filter((value, k) => value !== null && data.roles[k] === role && !data.leftOut[k]);
    if (!values.length) return null;
    const sum = values.reduce((total, value) => total + value, 0);
    return `${name}: ${values.length} balls, ${(sum / values.length).toFixed(1)} ${series.unit} on average`;
  });
  return `${series.name} ball by ball; ${parts.filter(Boolean).join("; ")}`;
}

function options(place, series, range) {
  const c = colours(), size = letter(), box = place.getBoundingClientRect();
  const font = `${size * 0.95}px ${faces().numbers}`, label = `${size * 0.95}px ${faces().words}`;
  const axis = { stroke: c.soft, font, labelFont: label, grid: { stroke: c.line, width: 1, dash: [1, 4] }, ticks: { stroke: c.edge, width: 1 } };
  return {
    width: Math.max(box.width, 100), height: Math.max(box.height, 100), legend: { show: false }, cursor: { show: false }, pxAlign: 0,
    padding: [size * 0.6, size, 0, 0],
    scales: { x: { time: false, range: [0, kept.places] }, y: { range: [range.low, range.high] } },
    axes: [
      { ...axis, label: "ball", labelSize: size * 1.5, size: size * 1.8, grid: { show: false } },
      { ...axis, label: series.unit ? `${series.name}, ${series.unit}${series.sided ? " (right +)" : ""}` : series.name, labelSize: size * 1.6, size: size * 3,
        values: (_, marks) => marks.map((mark) => (series.sided && mark > 0 ? `+${mark}` : String(mark).replace("-", "−"))) },
    ],
    series: [{}, { paths: () => null, points: { show: false } }],
    hooks: { draw: [(u) => draw(u, series, c, size)] },
  };
}

function draw(u, series, c, size) {
  const ctx = u.ctx, ratio = devicePixelRatio;
  const x = (value) => u.valToPos(value, "x", true), y = (value) => u.valToPos(value, "y", true);
  ctx.save();
  for (const { role, from, to, values } of stretches(series.values)) {
    const band = role === "other" ? null : middleBand(values);
    if (!band) continue;
    const colour = role === "before" ? c.before : c.after, left = x(from - 0.45), wide = x(to + 0.45) - left;
    ctx.globalAlpha = 0.16;
    ctx.fillStyle = colour;
    ctx.fillRect(left, y(band.high), wide, y(band.low) - y(band.high));
    ctx.globalAlpha = 1;
    ctx.strokeStyle = colour;
    ctx.lineWidth = 2 * ratio;
    ctx.setLineDash(role === "before" ? [6 * ratio, 4 * ratio] : []);
    ctx.beginPath();
    ctx.moveTo(left, y(band.middle));
    ctx.lineTo(left + wide, y(band.middle));
    ctx.stroke();
    ctx.setLineDash([]);
  }
  const radius = size * 0.3 * ratio;
  data.places.forEach((ball, k) => {
    if (series.values[k] !== null) dot(ctx, x(ball), y(series.values[k]), radius, data.roles[k], data.leftOut[k], c, ratio);
  });
  ctx.restore();
}

function dot(ctx, x, y, radius, role, leftOut, c, ratio) {
  ctx.lineWidth = 2 * ratio;
  ctx.strokeStyle = role === "before" ? c.before : role === "with_change" ? c.after : c.edge;
  ctx.fillStyle = role === "with_change" ? c.after : c.paper;
  ctx.beginPath();
  if (leftOut) {
    ctx.moveTo(x - radius, y - radius); ctx.lineTo(x + radius, y + radius);
    ctx.moveTo(x + radius, y - radius); ctx.lineTo(x - radius, y + radius);
    ctx.stroke();
    return;
  }
  ctx.arc(x, y, radius, 0, 2 * Math.PI);
  ctx.fill();
  ctx.stroke();
}

onLook(redraw);
new ResizeObserver(redraw).observe(document.getElementById("run") ?? document.body);
