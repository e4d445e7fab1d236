// The flights of a lesson: from the side, from above, or in the round where the browser can.
import { drawRound, forgetRound } from "./round.js";
import { niceStep } from "./steps.js";

const SVG = "http://www.w3.org/2000/svg";
let data = null, address = "", busy = false, stale = false;

function view() {
  return document.querySelector('input[name="flight-view"]:checked')?.value ?? "side";
}

export async function loadFlights() {
  const place = document.getElementById("flights");
  if (!place) return;
  if (busy) { stale = true; return; }
  busy = true;
  address = place.dataset.from;
  try {
    const response = await fetch(address);
    if (response.ok) { data = await response.json(); await draw(); }
  } catch {
    say("The flights could not be fetched; they will come with the next ball.");
  }
  busy = false;
  if (stale) { stale = false; loadFlights(); }
}

// Draws nothing before the figure comes into view: the drawing in space is half a megabyte.
export function whenSeen() {
  const place = document.getElementById("flights");
  if (!place) return;
  for (const choice of document.querySelectorAll('input[name="flight-view"]')) choice.addEventListener("change", draw);
  new ResizeObserver(() => { if (data && view() !== "round") draw(); }).observe(place);
  const eye = new IntersectionObserver((seen) => {
    if (seen.some((one) => one.isIntersecting)) { eye.disconnect(); loadFlights(); }
  }, { rootMargin: "200px" });
  eye.observe(place);
}

export function flightsLoaded() {
  return data !== null;
}

function say(more) {
  const note = document.getElementById("flights-note");
  if (!note) return;
  if (data && !data.flights.length) {
    note.textContent = "No flight can be drawn: it takes ball speed, launch angle and spin rate.";
    return;
  }
  const parts = ["Computed in still standard air from ball speed, launch and spin."];
  if (data?.assumed.length) parts.push(`Assumed: ${data.assumed.join("; ")}.`);
  if (data?.missing) parts.push(`Not drawn: ${data.missing} ${data.missing === 1 ? "ball" : "balls"} without ball speed, launch angle or spin rate.`);
  if (more) parts.push(more);
  note.textContent = parts.join(" ");
}

async function draw() {
  const place = document.getElementById("flights");
  if (!data || !place) return;
  place.dataset.view = view();
  place.replaceChildren();
  forgetRound();
  if (!data.flights.length) {
    place.classList.add("waiting");
    say("");
    return;
  }
  place.classList.remove("waiting");
  let more = "Dashed: before. Solid: with the change.";
  if (view() === "round") {
    if (await drawRound(place, data)) {
      say(`${more} Turn with a drag or the arrow keys, come nearer with + and −.`);
      return;
    }
    more = `This browser can't draw in space (no WebGL), so here is the view from the side. ${more}`;
  }
  place.replaceChildren(view() === "above" ? fromAbove(place) : fromSide(place));
  say(view() === "above" ? `${more} Sideways is drawn larger than along.` : more);
}

function make(name, attributes, text) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (text !== undefined) node.textContent = text;
  return node;
}

function shown() {
  return data.flights.filter((flight) => !flight.leftOut);
}

function most(pick) {
  return Math.max(...shown().flatMap(pick), 1);
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
function inOrder() {
  return shown().toSorted((a, b) => (a.role === "with_change") - (b.role === "with_change"));
}

function fromSide(place) {
  const { svg, width, height } = frame(place, `Flights from the side: ${shown().length} balls`);
  const far = most((flight) => flight.x), top = most((flight) => flight.y);
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
  const up = niceStep(top, 3);
  for (let at = up; at <= top * 1.02; at += up) {
    svg.append(make("path", { d: `M0 ${y(at)}H${width}`, class: "height-line" }));
    svg.append(make("text", { x: width - 4, y: y(at) - 5, class: "mark-text", "text-anchor": "end" }, `${at} ${data.unit} up`));
  }
  for (const flight of inOrder()) {
    svg.append(make("path", { d: `M${flight.x.map((value, k) => `${x(value).toFixed(1)} ${y(flight.y[k]).toFixed(1)}`).join("L")}`, class: `way ${classOf(flight)}` }));
    svg.append(make("circle", { cx: x(flight.x.at(-1)), cy: ground, r: 4.5, class: `end ${classOf(flight)}` }));
  }
  return svg;
}

function fromAbove(place) {
  const { svg, width, height } = frame(place, `Flights from above, the target up the page: ${shown().length} balls`);
  const far = most((flight) => flight.x), side = most((flight) => flight.z.map(Math.abs));
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
  for (const flight of inOrder()) {
    svg.append(make("path", { d: `M${flight.x.map((value, k) => `${x(flight.z[k]).toFixed(1)} ${y(value).toFixed(1)}`).join("L")}`, class: `way ${classOf(flight)}` }));
    svg.append(make("circle", { cx: x(flight.z.at(-1)), cy: y(flight.x.at(-1)), r: 4.5, class: `end ${classOf(flight)}` }));
  }
  return svg;
}
