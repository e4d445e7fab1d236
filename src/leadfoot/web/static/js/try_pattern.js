// Two hundred balls as they are (hollow) and as tried (solid), seen from behind, with the fairway.
import { niceStep, widened } from "./steps.js";

const SVG = "http://www.w3.org/2000/svg";
const MOST_WIDER = 3; // a pattern is long and narrow: sideways may be drawn so much larger than along
let kept = null;

function make(name, attributes, text) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (text !== undefined) node.textContent = text;
  return node;
}

// Axes that stay until a ball needs more room.
function scales(patterns, fairway, width, height) {
  const points = Object.values(patterns).flatMap(({ balls }) => balls);
  const far = Math.max(fairway / 2, ...points.map(([x]) => Math.abs(x)));
  const carries = points.map(([, y]) => y);
  kept = {
    x: widened([-far, far], kept?.x, 0.02, 20),
    y: widened(carries, kept?.y, 0.02, 20),
  };
  const room = { left: 46, right: 10, top: 8, bottom: 44 };
  const inner = { w: width - room.left - room.right, h: height - room.top - room.bottom };
  const across = inner.w / (kept.x.high - kept.x.low), along = Math.min(across, inner.h / (kept.y.high - kept.y.low));
  const wide = Math.min(across, MOST_WIDER * along);
  const middle = (kept.y.low + kept.y.high) / 2, half = inner.h / 2 / along;
  return {
    room, reach: inner.w / 2 / wide, low: middle - half, high: middle + half, wider: wide / along,
    x: (value) => room.left + inner.w / 2 + value * wide,
    y: (value) => room.top + inner.h / 2 - (value - middle) * along,
  };
}

function marks(low, high, n) {
  const step = niceStep(high - low, n), found = [];
  for (let at = Math.ceil(low / step) * step; at <= high + 1e-9; at += step) found.push(+at.toPrecision(12));
  return found;
}

export function drawTryPattern(place, { patterns, fairway, unit, changed }) {
  const { width, height } = place.getBoundingClientRect();
  if (!width) return;
  const s = scales(patterns, fairway, width, height), top = s.room.top, foot = height - s.room.bottom;
  const tried = changed ? `, and ${patterns.with_change.balls.length} as tried` : "";
  const svg = make("svg", { width, height, viewBox: `0 0 ${width} ${height}`, class: "drawing", role: "img",
    "aria-label": `Where the balls come down, from behind the ball: ${patterns.before.balls.length} as it is${tried}; the fairway is ${fairway} ${unit} wide.` });
  svg.append(make("rect", { x: s.x(-fairway / 2), y: top, width: s.x(fairway / 2) - s.x(-fairway / 2), height: foot - top, class: "try-fairway" }));
  for (const at of marks(s.low, s.high, 4)) {
    svg.append(make("path", { d: `M${s.room.left} ${s.y(at)}H${width - s.room.right}`, class: "try-axis" }));
    svg.append(make("text", { x: s.room.left - 6, y: s.y(at) + 5, class: "mark-text", "text-anchor": "end" }, String(at)));
  }
  for (const at of marks(-s.reach * 0.8, s.reach * 0.8, width < 500 ? 4 : 7)) {
    const words = at ? `${Math.abs(at)} ${at < 0 ? "left" : "right"}` : "0";
    svg.append(make("path", { d: `M${s.x(at)} ${foot}v6`, class: "ground-line" }));
    svg.append(make("text", { x: s.x(at), y: foot + 21, class: "mark-text", "text-anchor": "middle" }, words));
  }
  svg.append(make("path", { d: `M${s.x(0)} ${foot}V${top}`, class: "target-line" }));
  svg.append(make("text", { x: s.x(0), y: foot + 39, class: "mark-text", "text-anchor": "middle" }, `offline, ${unit} · carry up the page, ${unit}${s.wider > 1.05 ? ` · sideways drawn ${s.wider.toFixed(1)} times larger` : ""}`));
  const sides = changed ? [["before", ""], ["with_change", " with"]] : [["before", ""]];
  for (const [role, mark] of sides) {
    for (const [x, y] of patterns[role].balls) svg.append(make("circle", { cx: s.x(x).toFixed(1), cy: s.y(y).toFixed(1), r: mark ? 3 : 3.4, class: `try-ball${mark}` }));
  }
  for (const [role, mark] of sides) {
    const ring = patterns[role].ring;
    if (ring) svg.append(make("path", { d: `M${ring.map(([x, y]) => `${s.x(x).toFixed(1)} ${s.y(y).toFixed(1)}`).join("L")}Z`, class: `try-ring${mark}` }));
  }
  place.replaceChildren(svg);
}
