// Try it: a slider moved asks for its two hundred balls, and the answer stands in picture and words.
import { asking } from "./asking.js";
import { drawTryPattern } from "./try_pattern.js";
import { widened } from "./steps.js";
import { chosenView, drawnWords, drawWays, reachOf, redrawWays } from "./ways.js";

const form = document.getElementById("bench"), flights = document.getElementById("flights");
const pattern = document.getElementById("try-pattern"), first = document.getElementById("try-view");
const sliders = [...form.querySelectorAll(".slider")].map((row) => ({
  row, key: row.dataset.key, today: row.dataset.today, range: row.querySelector("input[type=range]"),
  typed: row.querySelector("input[name]"), way: row.querySelector(".way"),
}));
let view = first && JSON.parse(first.textContent), reach = null, writing = 0;
const WRITE_AFTER_MS = 200;

// What differs from today, as an address.
function query() {
  const parts = new URLSearchParams({ club: form.club.value, fairway: form.fairway.value });
  for (const one of sliders) if (one.typed.value !== one.today) parts.set(one.key, one.typed.value);
  return parts;
}

const ask = asking(() => `${location.pathname}/numbers?${query()}`, { show, trouble });

function trouble(found) {
  const box = document.getElementById("try-trouble");
  box.hidden = !found;
  box.querySelector("[data-what]").textContent = found?.what ?? "";
  box.querySelector("[data-fix]").textContent = found?.fix ?? "";
  for (const { key, row, typed } of sliders) {
    row.classList.toggle("is-wrong", found?.key === key);
    if (found?.key === key) typed.setAttribute("aria-invalid", "true");
    else typed.removeAttribute("aria-invalid");
  }
}

async function show(answer) {
  view = answer;
  trouble(null);
  clearTimeout(writing); // browsers refuse an address that changes too often
  writing = setTimeout(() => history.replaceState(null, "", `${location.pathname}?${view.query}`), WRITE_AFTER_MS);
  document.getElementById("sentence").textContent = view.sentence;
  for (const { key, today, row, range, way, typed } of sliders) {
    way.textContent = view.ways[key];
    row.classList.toggle("is-moved", typed.value !== today);
    range.setAttribute("aria-valuetext", `${typed.value} ${typed.nextElementSibling.textContent} ${view.ways[key]}`.trim());
  }
  for (const number of view.numbers) {
    const row = form.querySelector(`[data-row="${number.key}"]`);
    row.querySelector("[data-was]").textContent = number.before_text;
    row.querySelector("[data-now]").textContent = number.now_text;
    row.querySelector("[data-moved]").textContent = number.moved_text;
  }
  await draw();
}

// The figures keep their axes while sliders move, and widen in steps.
async function draw() {
  if (!view) return;
  drawTryPattern(pattern, view);
  const data = { ...view.flights, flights: view.flights.flights.filter(({ role }) => view.changed || role === "before") };
  const now = reachOf(data), wide = (key, least) => widened([0, now[key]], reach?.[key], 0.02, least);
  reach = { far: wide("far", 50), top: wide("top", 10), side: wide("side", 10) };
  const kept = { far: reach.far.high, top: reach.top.high, side: reach.side.high };
  document.getElementById("flights-more").textContent = drawnWords(await drawWays(flights, { ...data, reach: kept }, chosenView()));
}

function put(one, text) {
  one.typed.value = text;
  one.range.value = text;
}

// What is typed goes to the slider when it is a number; the server alone says what is allowed.
function typedNumber(one) {
  const value = Number(one.typed.value.replace("−", "-").replace(",", "."));
  return one.typed.value.trim() && Number.isFinite(value) ? value : null;
}

for (const one of sliders) {
  one.range.hidden = false;
  one.range.addEventListener("input", () => { one.typed.value = one.range.value; ask(); });
  one.typed.addEventListener("input", () => {
    const value = typedNumber(one);
    if (value !== null) one.range.value = value;
    ask();
  });
  one.typed.addEventListener("keydown", (event) => {
    const way = { ArrowUp: 1, ArrowDown: -1 }[event.key], value = typedNumber(one);
    if (!way || value === null || one.typed.readOnly) return;
    event.preventDefault();
    const next = Math.round((value + way * Number(one.range.step)) * 100) / 100;
    put(one, String(Math.min(Math.max(next, Number(one.range.min)), Number(one.range.max))));
    ask();
  });
}
form.fairway.addEventListener("input", ask);
// Another club is another model of the same balls: everything is explained anew.
form.club.addEventListener("change", () => { location.search = new URLSearchParams({ club: form.club.value }); });

function back(given = {}) {
  for (const one of sliders) put(one, one.key in given ? String(given[one.key]) : one.today);
  ask();
}
document.getElementById("anew").addEventListener("click", (event) => { event.preventDefault(); back(); });
for (const deed of form.querySelectorAll("[data-lever]")) {
  deed.setAttribute("role", "button");
  deed.addEventListener("keydown", (event) => { if (event.key === " ") { event.preventDefault(); deed.click(); } });
  deed.addEventListener("click", (event) => { event.preventDefault(); back(JSON.parse(deed.dataset.lever)); });
}
form.addEventListener("submit", (event) => { event.preventDefault(); ask(); });
document.getElementById("show").hidden = true;
redrawWays(flights, draw);
new ResizeObserver(() => { if (view) drawTryPattern(pattern, view); }).observe(pattern);
draw();
