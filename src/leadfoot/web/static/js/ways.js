// The ways of balls through the air: from the side, from above, or in the round where the browser can.
import { drawRound, forgetRound } from "./round.js";
import { niceStep } from "./steps.js";

const SVG = "http://www.w3.org/2000/svg";

export function chosenView() {
  return document.querySelector('input[name="flight-view"]:checked')?.value ?? "side";
}

// Calls back when another view is chosen, or the drawing gets another size; space fits by itself.
export function redrawWays(place, redraw) {
  for (const choice of document.querySelectorAll('input[name="flight-view"]')) choice.addEventListener("change", redraw);
  new ResizeObserver(() => { if (chosenView() !== "round") redraw(); }).observe(place);
}

// Draws the flights of `data`; says how: "side", "above", "round", or "flat" where there is no WebGL.
export async function drawWays(place, data, view) {
  place.dataset.view = view;
  if (view === "round" && await drawRound(place, data)) return "round";
  forgetRound();
  place.replaceChildren(view === "above" ? fromAbove(place, data) : fromSide(place, data));
  return view === "round" ? "flat" : view;
}

// What the reader of a drawing must know of it, by how it was drawn.
export function drawnWords(drawn) {
  return {
    side: "",
    above: " Sideways is drawn larger than along.",
    round: " Turn with a drag or the arrow keys, come nearer with + and −.",
    flat: " This browser can't draw in space (no WebGL), so here is the view from the side.",
  }[drawn];
}

function make(name, attributes, text) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (text !== undefined) node.textContent = text;
  return node;
}

function shown(data) {
  return data.flights.filter((flight) => !flight.leftOut);
}

function ballsIn(data) {
  const n = shown(data).length;
  return `${n} ${n === 1 ? "ball" : "balls"}`;
}

function most(data, pick) {
  return Math.max(...shown(data).flatMap(pick), 1);
}

// How far the drawing reaches along, up and to the sides: as far as its balls, or as it was kept.
export function reachOf(data) {
  return data.reach ?? { far: most(data, (flight) => flight.x), top: most(data, (flight) => flight.y), side: most(data, (flight) => flight.z.map(Math.abs)) };
}

function frame(place, label) {
  const { width, height } = place.getBoundingClientRect();
  const svg = make("svg", { width, height, viewBox: `0 0 ${width} ${height}`, class: "drawing", role: "img", "aria-label": label });
  return { svg, width, height };
}

function classOf(flight) {
  return { before: "way-before", with_change: "way-after" }[flight.role] ?? "way-other";
}

// Which balls lie on top does not matter for the answer; those with the change are drawn last.
function inOrder(data) {
  return shown(data).toSorted((a, b) => (a.role === "with_change") - (b.role === "with_change"));
}

function fromSide(place, data) {
  const { svg, width, height } = frame(place, `Flights from the side: ${ballsIn(data)}`);
  const { far, top } = reachOf(data);
  const left = 16, right = 24, bottom = 40, head = 22;
  const scale = Math.min((width - left - right) / far, (height - bottom - head) / top);
  const ground = height - bottom;
  const x = (value) => left + value * scale, y = (value) => ground - value * scale;
  svg.append(make("path", { d: `M0 ${ground}H${width}`, class: "ground-line" }));
  const step = niceStep((width - left - right) / scale, 6);
  for (let at = 0; x(at) < width - right; at += step) {
    svg.append(make("path", { d: `M${x(at)} ${ground}v6`, class: "ground-line" }));
    svg.append(make("text", { x: x(at), y: ground + 24, class: "mark-text", "text-anchor": at ? "middle" : "start" }, at ? String(at) : `0 ${data.unit}`));
  }
  const up = niceStep(top, Math.min(3, Math.max(1, (top * scale) / 24))); // a line of text apart
  for (let at = up; at <= top * 1.02; at += up) {
    svg.append(make("path", { d: `M0 ${y(at)}H${width}`, class: "height-line" }));
    svg.append(make("text", { x: width - 4, y: y(at) - 5, class: "mark-text", "text-anchor": "end" }, `${at} ${data.unit} up`));
  }
  for (const flight of inOrder(data)) {
    svg.append(make("path", { d: `M${flight.x.map((value, k) => `${x(value).toFixed(1)} ${y(flight.y[k]).toFixed(1)}`).join("L")}`, class: `way ${classOf(flight)}` }));
    svg.append(make("circle", { cx: x(flight.x.at(-1)), cy: ground, r: 4.5, class: `end ${classOf(flight)}` }));
  }
  return svg;
}

function fromAbove(place, data) {
  const { svg, width, height } = frame(place, `Flights from above, the target up the page: ${ballsIn(data)}`);
  const { far, side } = reachOf(data);
  const head = 26, foot = 36, edge = 64;
  const along = (height - head - foot) / far;
  const across = Math.min((width / 2 - edge) / side, along * 8);
  const x = (value) => width / 2 + value * across, y = (value) => height - foot - value * along;
  const step = niceStep(far, 4);
  for (let at = step; at <= far * 1.02; at += step) {
    svg.append(make("path", { d: `M${edge / 2} ${y(at)}H${width - edge / 2}`, class: "height-line" }));
    svg.append(make("text", { x: 4, y: y(at) - 5, class: "mark-text" }, `${at} ${data.unit}`));
  }
  const wide = niceStep(side, 2);
  for (const at of [-2, -1, 1, 2].map((n) => n * wide).filter((value) => Math.abs(value) <= side * 1.6 && Math.abs(value * across) < width / 2 - edge)) {
    svg.append(make("path", { d: `M${x(at)} ${head}V${height - foot}`, class: "height-line" }));
    svg.append(make("text", { x: x(at), y: height - foot + 22, class: "mark-text", "text-anchor": "middle" }, `${Math.abs(at)} ${data.unit} ${at < 0 ? "left" : "right"}`));
  }
  svg.append(make("path", { d: `M${x(0)} ${y(0)}V${head - 6}`, class: "target-line" }));
  svg.append(make("text", { x: x(0), y: height - foot + 22, class: "mark-text", "text-anchor": "middle" }, "target line"));
  for (const flight of inOrder(data)) {
    svg.append(make("path", { d: `M${flight.x.map((value, k) => `${x(flight.z[k]).toFixed(1)} ${y(value).toFixed(1)}`).join("L")}`, class: `way ${classOf(flight)}` }));
    svg.append(make("circle", { cx: x(flight.z.at(-1)), cy: y(flight.x.at(-1)), r: 4.5, class: `end ${classOf(flight)}` }));
  }
  return svg;
}
