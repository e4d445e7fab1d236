// Two blocks on one clock about the strike: before dashed, after solid, each with its band.
import uPlot from "../vendor/traces.mjs";
import { colours, faces, letter, onLook } from "./colours.js";
import { widened } from "./steps.js";

let plot = null, data = null;
const list = document.getElementById("curve"), place = document.getElementById("compared-plot");

export function drawCompared() {
  data = JSON.parse(document.getElementById("compared").textContent);
  const keys = (data?.order ?? []).filter((one) => data.curves[one]);
  document.getElementById("compare-section").hidden = !keys.length;
  if (!keys.length) return;
  const key = keys.includes(list.value) ? list.value : keys[0];
  list.replaceChildren(...keys.map((one) => new Option(`${data.curves[one].name}, ${data.curves[one].unit}`, one, one === key, one === key)));
  redraw();
}

function redraw() {
  const curve = data?.curves[list.value];
  if (!curve || !place.clientWidth) return;
  const empty = curve.time.map(() => null);
  const row = (side, what) => curve[side]?.[what] ?? empty;
  const rows = [curve.time];
  for (const side of ["before", "after"]) for (const what of ["high", "low", "mean"]) rows.push(row(side, what));
  plot?.destroy();
  place.replaceChildren();
  plot = new uPlot(options(curve, widened(rows.slice(1).flat().filter((value) => value !== null), null, 0.06)), rows, place);
  place.setAttribute("aria-label", `${curve.name} about the strike; ${words(curve)}`);
  for (const link of document.querySelectorAll("[data-curve-link]")) link.href = link.href.replace(/blocks-[a-z]+\./, `blocks-${list.value}.`);
}

function words(curve) {
  return ["before", "after"].filter((side) => curve[side]).map((side) => {
    const known = curve[side].mean.filter((value) => value !== null);
    return `${data[side]}: ${curve[side].n} swings, greatest mean ${Math.max(...known).toFixed(0)} ${curve.unit}`;
  }).join("; ");
}

function options(curve, range) {
  const c = colours(), size = letter(), font = `${size * 0.95}px ${faces().numbers}`, label = `${size * 0.95}px ${faces().words}`;
  const axis = { stroke: c.soft, font, labelFont: label, grid: { stroke: c.line, width: 1, dash: [1, 4] }, ticks: { stroke: c.edge, width: 1 } };
  const hidden = { stroke: "transparent", width: 0, points: { show: false } };
  const line = (more) => ({ width: 2, points: { show: false }, spanGaps: false, ...more });
  const band = (colour) => `color-mix(in srgb, ${colour} 20%, transparent)`;
  return {
    width: Math.max(place.clientWidth, 120), height: Math.max(place.clientHeight, 160), legend: { show: false }, cursor: { show: false }, pxAlign: 0,
    padding: [size * 0.6, size, 0, 0],
    scales: { x: { time: false }, y: { range: [range.low, range.high] } },
    axes: [
      { ...axis, label: "s from the strike", labelSize: size * 1.5, size: size * 1.8, values: (_, marks) => marks.map((mark) => String(mark).replace("-", "−")) },
      { ...axis, label: `${curve.name}, ${curve.unit}`, labelSize: size * 1.6, size: size * 3, values: (_, marks) => marks.map((mark) => String(mark).replace("-", "−")) },
    ],
    series: [{}, hidden, hidden, line({ stroke: c.before, dash: [6, 4] }), hidden, hidden, line({ stroke: c.after })],
    bands: [{ series: [1, 2], fill: band(c.before) }, { series: [4, 5], fill: band(c.after) }],
    hooks: { drawClear: [(u) => {
      const x = u.valToPos(0, "x", true);
      u.ctx.strokeStyle = c.flag;
      u.ctx.lineWidth = devicePixelRatio;
      u.ctx.beginPath();
      u.ctx.moveTo(x, u.bbox.top);
      u.ctx.lineTo(x, u.bbox.top + u.bbox.height);
      u.ctx.stroke();
    }] },
  };
}

list?.addEventListener("change", redraw);
onLook(redraw);
if (place) new ResizeObserver(redraw).observe(place);
