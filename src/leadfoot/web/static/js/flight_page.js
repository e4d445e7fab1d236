// The flight page: a slider moved asks for its flight, and the answer stands in picture, words and table.
import { asking } from "./asking.js";
import { widened } from "./steps.js";
import { chosenView, drawnWords, drawWays, reachOf, redrawWays } from "./ways.js";

const form = document.getElementById("bench"), place = document.getElementById("flights");
const assumed = document.getElementById("assumed"), kept = document.getElementById("kept");
const sliders = [...form.querySelectorAll(".slider")].map((row) => ({
  row, key: row.dataset.key, range: row.querySelector("input[type=range]"), typed: row.querySelector("input[name]"), way: row.querySelector("[data-way]"),
}));
const first = document.getElementById("bench-view");
let view = first && JSON.parse(first.textContent), reach = null, writing = 0;
const WRITE_AFTER_MS = 200;

// The state of the form as an address: what is assumed stays away, so that it follows the club.
function query() {
  const parts = new URLSearchParams({ units: form.querySelector("[name=units]").value, hand: form.hand.value, club: form.club.value });
  for (const one of sliders) if (!one.row.classList.contains("is-assumed")) parts.set(one.key, one.typed.value);
  for (const { name, value } of [...kept.children, ...form.querySelectorAll("input[name=lesson]")]) parts.set(name, value);
  return parts;
}

const ask = asking(() => `/flight/numbers?${query()}`, { show, trouble });

function trouble(found) {
  const box = document.getElementById("bench-trouble");
  box.hidden = !found;
  box.querySelector("[data-what]").textContent = found?.what ?? "";
  box.querySelector("[data-fix]").textContent = found?.fix ?? "";
  for (const { key, row, typed } of sliders) {
    row.classList.toggle("is-wrong", found?.key === key);
    if (found?.key === key) typed.setAttribute("aria-invalid", "true");
    else typed.removeAttribute("aria-invalid");
  }
  for (const more of form.querySelectorAll(".more-trouble")) more.remove();
}

async function show(answer) {
  view = answer;
  trouble(null);
  // Not at every step: browsers refuse an address that changes too often.
  clearTimeout(writing);
  writing = setTimeout(() => history.replaceState(null, "", `/flight?${view.query}`), WRITE_AFTER_MS);
  document.getElementById("sentence").textContent = view.sentence;
  document.getElementById("why").textContent = view.why;
  for (const { key, range, way, typed } of sliders) {
    way.textContent = view.ways[key];
    range.setAttribute("aria-valuetext", `${typed.value} ${typed.nextElementSibling.textContent} ${view.ways[key]}`.trim());
  }
  fillTable();
  fillFlags();
  await draw();
}

function fillTable() {
  const body = form.querySelector(".bench-table tbody");
  body.replaceChildren(...view.numbers.map((number) => {
    const row = document.createElement("tr"), name = document.createElement("th");
    row.className = "basis-modelled";
    row.dataset.row = number.key;
    name.scope = "row";
    name.append(`${number.name} `, Object.assign(document.createElement("span"), { className: "basis", textContent: number.unit }));
    row.append(name, cell(number.before_text, true), cell(number.now_text, true), cell(number.moved_text, false));
    return row;
  }));
  for (const side of ["before", "now"]) {
    const words = document.getElementById(`try-${side}`);
    words.hidden = !view.tries[side];
    words.querySelector("dd").textContent = view.tries[side] ?? "";
  }
  document.getElementById("drop").hidden = !view.tries.before;
}

function cell(text, isValue) {
  const node = document.createElement("td"), value = document.createElement("span");
  node.className = isValue ? "num" : "num strong";
  if (isValue && text) value.className = "value";
  value.textContent = text ?? "–";
  node.append(value);
  return node;
}

function fillFlags() {
  const lines = [...view.flags.map((words) => `Now: ${words}.`), ...view.flags_before.map((words) => `Before: ${words}.`)];
  document.getElementById("flags").replaceChildren(...lines.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
}

// The figure keeps its axes while sliders move, and widens in steps.
async function draw() {
  if (!view) return;
  const now = reachOf(view.flights), wide = (key, least) => widened([0, now[key]], reach?.[key], 0.02, least);
  reach = { far: wide("far", 50), top: wide("top", 10), side: wide("side", 10) };
  const data = { ...view.flights, reach: { far: reach.far.high, top: reach.top.high, side: reach.side.high } };
  document.getElementById("flights-more").textContent = drawnWords(await drawWays(place, data, chosenView()));
}

function mark(one, isAssumed) {
  one.row.classList.toggle("is-assumed", isAssumed);
  assumed.value = sliders.filter(({ row }) => row.classList.contains("is-assumed")).map(({ key }) => key).join(".");
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
  one.range.addEventListener("input", () => { one.typed.value = one.range.value; mark(one, false); ask(); });
  one.typed.addEventListener("input", () => {
    const value = typedNumber(one);
    if (value !== null) one.range.value = value;
    mark(one, false);
    ask();
  });
  one.typed.addEventListener("keydown", (event) => {
    const way = { ArrowUp: 1, ArrowDown: -1 }[event.key], value = typedNumber(one);
    if (!way || value === null) return;
    event.preventDefault();
    const step = Number(one.range.step), next = Math.round((value + way * step) * 100) / 100;
    put(one, String(Math.min(Math.max(next, Number(one.range.min)), Number(one.range.max))));
    mark(one, false);
    ask();
  });
}

// Another club brings its usual swing along.
form.club.addEventListener("change", () => {
  const usual = form.club.selectedOptions[0].dataset;
  for (const [key, text] of [["club_speed", usual.clubSpeed], ["attack_angle", usual.attackAngle], ["dynamic_loft", usual.dynamicLoft]]) {
    const one = sliders.find((slider) => slider.key === key);
    put(one, text);
    mark(one, true);
  }
  form.querySelector("[name=from_club]").value = form.club.value;
  ask();
});
for (const choice of form.querySelectorAll("[name=hand]")) choice.addEventListener("change", ask);

function hidden(name, value) {
  return Object.assign(document.createElement("input"), { type: "hidden", name, value });
}

form.addEventListener("submit", (event) => {
  const what = event.submitter?.name;
  if (what === "units") return; // the page comes back in the other units
  event.preventDefault();
  if (what === "keep") {
    const now = [...query()].filter(([name]) => name === "club" || sliders.some(({ key }) => key === name));
    kept.replaceChildren(...now.map(([name, value]) => hidden(`before.${name}`, value)));
  }
  if (what === "drop") {
    kept.replaceChildren();
    document.getElementById("keep").focus();
  }
  ask();
});

document.getElementById("show").hidden = true;
redrawWays(place, draw);
draw();
