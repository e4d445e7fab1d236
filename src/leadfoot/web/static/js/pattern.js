// Where the balls came down: before hollow, with the change solid, each with the ring of its spread.
import "./strict_style.js";
import { init } from "../vendor/charts.mjs";
import { colours, faces, letter, onLook } from "./colours.js";
import { middleBand } from "./spread.js";
import { niceStep, widened } from "./steps.js";

let chart = null, kept = {}, data = null, observer = null;

export function drawPattern(pattern) {
  data = pattern;
  const place = document.getElementById("pattern");
  if (!place || !data) return;
  place.classList.remove("waiting");
  if (chart?.getDom() !== place) {
    chart?.dispose();
    observer?.disconnect();
    chart = init(place, null, { renderer: "svg" });
    chart.on("click", ({ data: point }) => { if (point?.place) dispatchEvent(new CustomEvent("ball", { detail: point.place })); });
    observer = new ResizeObserver(() => { chart.resize(); redraw(); });
    observer.observe(place);
  }
  redraw();
}

function side(withChange, x, y) {
  const points = [];
  data.withChange.forEach((changed, k) => {
    if (changed === withChange && Number.isFinite(x[k]) && Number.isFinite(y[k]) && x[k] !== null && y[k] !== null) {
      points.push({ value: [x[k], y[k]], place: data.places[k] });
    }
  });
  return points;
}

function redraw() {
  if (!data) return;
  const flat = [false, true].some((changed) => side(changed, data.offline, data.carry).length);
  chart.setOption(flat ? ground() : strip(), { notMerge: true });
}

function look() {
  const c = colours(), size = letter();
  return {
    c, size,
    axis: {
      axisLine: { onZero: false, lineStyle: { color: c.edge } }, axisTick: { lineStyle: { color: c.edge } },
      axisLabel: { color: c.soft, fontFamily: faces().numbers, fontSize: size * 0.95, margin: size * 0.6 },
      splitLine: { lineStyle: { color: c.line, width: 1, type: [1, 4] } },
    },
    dot: size * 0.62,
  };
}

function balls(points, changed, { c, dot }) {
  return {
    type: "scatter", data: points, symbolSize: dot, z: changed ? 4 : 3, cursor: "pointer",
    itemStyle: changed ? { color: c.after, borderColor: c.leaf, borderWidth: 1, opacity: 1 } : { color: "transparent", borderColor: c.before, borderWidth: 2, opacity: 1 },
    emphasis: { scale: 1.5 },
  };
}

function ground() {
  const l = look(), { c, size } = l;
  const before = side(false, data.offline, data.carry), after = side(true, data.offline, data.carry);
  const sides = [[before, false, data.loops.before], [after, true, data.loops.after]];
  const all = [...before.map((one) => one.value), ...after.map((one) => one.value), ...sides.flatMap(([, , loop]) => loop?.ring ?? [])];
  const box = chart.getDom().getBoundingClientRect();
  const grid = { left: size * 3.8, right: size * 0.9, top: size * 0.7, bottom: size * 3.1 };
  kept.y = widened(all.map(([, y]) => y), kept.y, 0.02, 20);
  const far = Math.max(...all.map(([x]) => Math.abs(x)), 1);
  kept.x = widened([-far, far], kept.x, 0.02, 20);
  const { x, y } = sameScale(kept.x, kept.y, box.width - grid.left - grid.right, box.height - grid.top - grid.bottom);
  const series = [];
  sides.forEach(([points, changed, loop]) => {
    if (loop?.ring) series.push(loopSeries(loop.ring, changed, l));
    series.push(balls(points, changed, l));
    if (loop) series.push(middle(loop.middle, changed, l));
  });
  series.push(targetLine(y, c));
  return {
    animation: false, grid,
    tooltip: { renderMode: "richText", backgroundColor: c.leaf, borderColor: c.edge, textStyle: { color: c.ink, fontFamily: faces().words, fontSize: size * 0.9 },
      formatter: ({ data: point }) => (point?.place ? `Ball ${point.place}\ncarry ${point.value[1].toFixed(0)} ${data.unit}\n${sideWords(point.value[0])}` : "") },
    xAxis: { type: "value", min: x.low, max: x.high, ...l.axis, splitLine: { show: false },
      name: `←  left        offline, ${data.unit}        right  →`, nameLocation: "middle", nameGap: size * 1.9,
      nameTextStyle: { color: c.soft, fontFamily: faces().words, fontSize: size * 0.95 },
      axisTick: { ...l.axis.axisTick, customValues: marks(x) },
      axisLabel: { ...l.axis.axisLabel, customValues: marks(x), formatter: (value) => (value > 0 ? `+${value}` : String(value).replace("-", "−")) } },
    yAxis: { type: "value", min: y.low, max: y.high, interval: y.step, ...l.axis,
      axisTick: { ...l.axis.axisTick, customValues: marks(y) }, axisLabel: { ...l.axis.axisLabel, customValues: marks(y) },
      name: `carry, ${data.unit}`, nameLocation: "middle", nameGap: size * 2.3, nameTextStyle: { color: c.soft, fontFamily: faces().words, fontSize: size * 0.95 } },
    series,
  };
}

// One yard is as long across as along, so that a spread looks as it lies on the ground.
function sameScale(x, y, width, height) {
  if (width <= 0 || height <= 0) return { x, y };
  const perPx = Math.max((x.high - x.low) / width, (y.high - y.low) / height);
  const step = niceStep(perPx * Math.min(width, height), 5);
  const half = (perPx * width) / 2, tall = perPx * height;
  const low = (y.low + y.high - tall) / 2;
  return { x: { low: -half, high: half, step }, y: { low, high: low + tall, step } };
}

// Whole steps inside a range.
function marks({ low, high, step }) {
  const found = [];
  for (let at = Math.ceil(low / step - 1e-9) * step; at <= high + 1e-9; at += step) found.push(+at.toPrecision(12));
  return found;
}

function loopSeries(loop, changed, { c }) {
  return {
    type: "line", data: loop, showSymbol: false, silent: true, z: 2,
    lineStyle: { color: changed ? c.after : c.before, width: 1.6, type: changed ? "solid" : [5, 4] },
    tooltip: { show: false },
  };
}

function middle(point, changed, { c, size }) {
  return {
    type: "scatter", data: [point], silent: true, z: 5, symbolSize: size * 1.25, tooltip: { show: false },
    symbol: "path://M-10 -2H-2V-10H2V-2H10V2H2V10H-2V2H-10z",
    itemStyle: { color: changed ? c.after : c.before, borderColor: c.leaf, borderWidth: 1.5, opacity: 1 },
  };
}

function targetLine(y, c) {
  return {
    type: "line", data: [[0, y.low], [0, y.high]], showSymbol: false, silent: true, z: 1,
    lineStyle: { color: c.turf, width: 1.4, type: "solid" }, tooltip: { show: false },
  };
}

export function sideWords(offline) {
  const size = Math.abs(offline).toFixed(0);
  return size === "0" ? "on the line" : `${size} ${data.unit} ${offline > 0 ? "right" : "left"}`;
}

// Without directions: two rows of balls along one length, each with the band of its middle.
function strip() {
  const l = look(), { c, size } = l;
  const known = (values) => values.some((value) => value !== null);
  const [values, name] = known(data.carry) ? [data.carry, `carry, ${data.unit}`] : [data.speed, `${data.speedName}, ${data.speedUnit}`];
  const rows = [0, 1].map((row) => side(row === 1, values, data.places.map((_, k) => row + 0.16 * Math.sin(k * 2.4))));
  kept.s = widened(rows.flat().map((one) => one.value[0]), kept.s, 0.1, 10);
  const series = rows.flatMap((points, row) => {
    const band = middleBand(points.map((one) => one.value[0]));
    const line = band && { type: "line", data: [[band.low, row + 0.36], [band.high, row + 0.36]], showSymbol: false, silent: true,
      lineStyle: { color: row ? c.after : c.before, width: 5, opacity: 0.75 }, tooltip: { show: false } };
    return [balls(points, row === 1, l), ...(line ? [line] : [])];
  });
  return {
    animation: false, grid: { left: size * 1.2, right: size * 1.2, top: size * 1.5, bottom: size * 3.2 },
    tooltip: { renderMode: "richText", backgroundColor: c.leaf, borderColor: c.edge, textStyle: { color: c.ink, fontFamily: faces().words, fontSize: size * 0.9 },
      formatter: ({ data: point }) => (point?.place ? `Ball ${point.place}\n${point.value[0].toFixed(1)}` : "") },
    xAxis: { type: "value", min: kept.s.low, max: kept.s.high, interval: kept.s.step, ...l.axis, name, nameLocation: "middle", nameGap: size * 1.9,
      nameTextStyle: { color: c.soft, fontFamily: faces().words, fontSize: size * 0.95 } },
    yAxis: { type: "value", min: -0.6, max: 1.7, interval: 1, show: false },
    series,
  };
}

// What the picture shows, in a sentence: for those who do not see it, and under it for all.
export function patternWords(pattern) {
  data = pattern;
  if (!pattern) return "";
  const flat = [false, true].some((changed) => side(changed, pattern.offline, pattern.carry).length);
  const ways = flat
    ? `Seen from behind the ball. Hollow: ${pattern.before}. Solid: ${pattern.after}. A ring holds two balls in three of its block; the cross is its middle.`
    : `No directions are known, so only the lengths are drawn. Hollow: ${pattern.before}. Solid: ${pattern.after}. The bar holds the middle of a block with 90 % probability.`;
  const computed = [["carry", pattern.carryBasis], ["offline", pattern.offlineBasis]].filter(([, basis]) => basis === "modelled").map(([name]) => name);
  return computed.length ? `${ways} Computed by the flight model: ${computed.join(" and ")}.` : ways;
}

onLook(() => { if (chart) redraw(); });
