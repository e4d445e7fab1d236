// Hands on the traces: drag and pinch, wheel, buttons; and the strike by mouse, touch and keys.
import { look, move, placeOf, showSwing, showWhole, timeAt, traceWords, viewNow, zoom } from "./traces.js";

const stack = document.getElementById("stack"), place = document.getElementById("plots"), mark = document.getElementById("strike-mark");
const SAVE_AFTER_MS = 700;
let at = null, moved = false, saving = null;

const input = () => document.getElementById("strike-s");

export function placeMark() {
  const words = traceWords();
  if (!mark || !words) return;
  if (!moved) at = words.strike?.at ?? null;
  const time = at ?? (viewNow().from + viewNow().to) / 2, x = placeOf(time), wide = stack.clientWidth;
  mark.hidden = x === null || x < 0 || x > wide;
  mark.style.left = `${x ?? 0}px`;
  mark.classList.toggle("unset", at === null);
  mark.querySelector(".strike-name").textContent = at === null ? "strike?" : "strike";
  const [low, high] = words.whole;
  mark.setAttribute("aria-valuemin", low.toFixed(4));
  mark.setAttribute("aria-valuemax", high.toFixed(4));
  mark.setAttribute("aria-valuenow", time.toFixed(4));
  mark.setAttribute("aria-valuetext", at === null ? "not set" : `${time.toFixed(4)} s, ${moved ? "being set by hand" : words.strike.from}`);
  document.getElementById("window-says").textContent = windowWords();
}

function windowWords() {
  const { from, to } = viewNow(), exact = traceWords().exact;
  return `${(to - from).toFixed(to - from < 1 ? 3 : 1)} s, ${exact ? "every sample" : "least and greatest of each column"}`;
}

function setTo(time) {
  const [low, high] = traceWords().whole;
  at = Math.min(Math.max(time, low), high);
  moved = true;
  if (input()) input().value = at.toFixed(4);
  placeMark();
}

function save() {
  clearTimeout(saving);
  const form = document.getElementById("strike-form");
  if (moved && form) form.requestSubmit(form.querySelector('button[value="hand"]'));
}

// What was set is in the book, or was refused with words: the mark follows the book again.
export function strikeSaved() {
  moved = false;
}

function handleMark() {
  mark.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    mark.focus();
    mark.setPointerCapture(event.pointerId);
    mark.classList.add("held");
  });
  mark.addEventListener("pointermove", (event) => { if (mark.hasPointerCapture(event.pointerId)) setTo(timeAt(event.clientX)); });
  const letGo = () => { mark.classList.remove("held"); save(); };
  mark.addEventListener("pointerup", letGo);
  mark.addEventListener("pointercancel", letGo);
  mark.addEventListener("keydown", (event) => {
    const sample = 1 / traceWords().rate, step = event.shiftKey ? 0.01 : sample, now = at ?? Number(mark.getAttribute("aria-valuenow"));
    const steps = { ArrowLeft: -step, ArrowDown: -step, ArrowRight: step, ArrowUp: step, PageDown: -0.05, PageUp: 0.05 };
    if (event.key === "Enter") { event.preventDefault(); save(); return; }
    if (!(event.key in steps)) return;
    event.preventDefault();
    setTo(now + steps[event.key]);
    clearTimeout(saving);
    saving = setTimeout(save, SAVE_AFTER_MS);
  });
  mark.addEventListener("blur", save);
}

function handlePlots() {
  const down = new Map();
  let held = null;
  const span = () => { const xs = [...down.values()]; return xs.length > 1 ? Math.max(Math.abs(xs[0] - xs[1]), 10) : null; };
  const middle = () => [...down.values()].reduce((sum, x) => sum + x, 0) / down.size;
  const hold = () => { held = down.size ? { view: viewNow(), x: middle(), span: span(), about: timeAt(middle()) } : null; };
  place.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    place.setPointerCapture(event.pointerId);
    down.set(event.pointerId, event.clientX);
    hold();
  });
  place.addEventListener("pointermove", (event) => {
    if (!down.has(event.pointerId) || !held?.view) return;
    down.set(event.pointerId, event.clientX);
    const { from, to } = held.view, wide = (to - from) * (held.span && span() ? held.span / span() : 1);
    const share = (held.about - from) / (to - from), pixels = place.querySelector(".u-over").clientWidth;
    const start = held.about - share * wide - ((middle() - held.x) / pixels) * wide;
    look(start, start + wide);
  });
  const up = (event) => { down.delete(event.pointerId); hold(); };
  place.addEventListener("pointerup", up);
  place.addEventListener("pointercancel", up);
  stack.addEventListener("wheel", (event) => {
    if (event.ctrlKey || event.metaKey) {
      event.preventDefault();
      zoom(Math.exp(event.deltaY * 0.003), timeAt(event.clientX));
    } else if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
      event.preventDefault();
      move(event.deltaX / place.clientWidth);
    }
  }, { passive: false });
}

const TOOLS = {
  in: () => zoom(0.5, at), out: () => zoom(2), left: () => move(-0.3), right: () => move(0.3), swing: showSwing, whole: showWhole,
};

if (stack) {
  handleMark();
  handlePlots();
  for (const button of document.querySelectorAll("[data-zoom]")) button.addEventListener("click", () => TOOLS[button.dataset.zoom]());
  addEventListener("traces-drawn", placeMark);
}
