// What every page does: stays in step with the book, sends small forms without leaving, keeps drafts.
import { keepDrafts } from "./drafts.js";
import { keepInStep } from "./link.js";
import { released } from "./press.js";
import { swapParts } from "./swap.js";

const body = document.body;
const FIRST_WAIT_MS = 500, LONGEST_WAIT_MS = 5000;
let fetching = null, again = false, late = 0, wait = FIRST_WAIT_MS;

const keyOf = (page) => page.querySelector("meta[name=form-key]")?.content ?? "";

// After signing in anew, in this tab or another, the forms of this page go on under the new key.
function takeKey(fresh) {
  const key = keyOf(fresh);
  if (!key || key === keyOf(document)) return false;
  document.querySelector("meta[name=form-key]").content = key;
  for (const field of document.querySelectorAll("input[name=form_key]")) field.value = key;
  return true;
}

function show(fresh, chosenAnew = false) {
  fresh.chosenAnew = chosenAnew;
  takeKey(fresh);
  // The screen of a bay that hits for another lesson now.
  if (document.documentElement.classList.contains("bay") && fresh.body.dataset.lesson !== body.dataset.lesson) { location.reload(); return; }
  const change = Number(fresh.body.dataset.change || 0);
  if (change < Number(body.dataset.change)) return; // an answer that was overtaken by a later one
  body.dataset.change = change;
  const replaced = swapParts(fresh);
  dispatchEvent(new CustomEvent("parts", { detail: { replaced } }));
}

const isOut = (response) => response.redirected && new URL(response.url).pathname === "/sign-in";

async function pageFrom(response) {
  return new DOMParser().parseFromString(await response.text(), "text/html");
}

// Takes what the server has of this page now; says whether it is to be asked for again.
async function fetchOnce() {
  try {
    const response = await fetch(location.href.split("#")[0], { headers: { Accept: "text/html" } });
    if (isOut(response)) setState("out");
    else if (response.ok) {
      const fresh = await pageFrom(response);
      await released();
      show(fresh);
    }
    return response.status >= 500;
  } catch {
    return true;
  }
}

// Fetches the page anew and takes its live parts; a change that arrives meanwhile fetches once more.
// What failed is tried again: no further change may come that would have it fetched.
async function refresh() {
  if (fetching) { again = true; return; }
  clearTimeout(late);
  fetching = (async () => {
    let failed;
    do {
      again = false;
      failed = await fetchOnce();
    } while (again);
    fetching = null;
    if (failed) late = setTimeout(refresh, wait);
    wait = failed ? Math.min(wait * 2, LONGEST_WAIT_MS) : FIRST_WAIT_MS;
  })();
}

const STATES = { live: "live", away: "waiting for the desk", out: "signed out: sign in again in another tab" };

function setState(state) {
  const place = document.getElementById("link-state");
  if (!place || place.dataset.state === state) return;
  place.dataset.state = state;
  place.querySelector(".says").textContent = STATES[state];
}

if (body.dataset.change) {
  keepInStep({
    since: () => body.dataset.change,
    lesson: body.dataset.lesson,
    onChange: (change) => {
      if (change === Number(body.dataset.change)) return;
      if (change < Number(body.dataset.change)) body.dataset.change = 0; // another book: start over
      refresh();
    },
    onState: setState,
  });
}

function tell(form, what, fix) {
  const place = form.querySelector(".form-trouble");
  if (!place) return;
  place.querySelector("[data-what]").textContent = what;
  place.querySelector("[data-fix]").textContent = fix;
  place.hidden = !what;
}

// A small form is sent in the background; what was typed goes away only once it is in the book.
async function sendQuietly(form, button) {
  const data = new FormData(form, button);
  const address = button?.getAttribute("formaction") ?? form.getAttribute("action");
  let response, fresh;
  const send = () => fetch(address, { method: "POST", body: data, headers: { Accept: "text/html", "X-Form-Key": keyOf(document) } });
  try {
    response = await send();
    if (response.status === 403 && takeKey(await pageFrom(await fetch(location.href.split("#")[0])))) response = await send();
    fresh = await pageFrom(response);
  } catch {
    tell(form, "The desk does not answer.", "What you typed still stands here: send it again when the page says live.");
    return;
  }
  if (!response.ok) {
    const refused = [...fresh.querySelectorAll(".form-trouble:not([hidden])")].find(
      (place) => document.getElementById(place.id) === form.querySelector(".form-trouble"));
    tell(form, refused?.querySelector("[data-what]")?.textContent ?? fresh.querySelector("h1")?.textContent ?? "",
      refused?.querySelector("[data-fix]")?.textContent ?? fresh.querySelector(".lede")?.textContent ?? "");
    return;
  }
  tell(form, "", "");
  form.dispatchEvent(new CustomEvent("sent", { detail: data }));
  show(fresh, true);
}

addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("form[data-quiet]")) return;
  event.preventDefault();
  sendQuietly(form, event.submitter);
});

addEventListener("submit", (event) => {
  const form = event.target, look = event.submitter?.value;
  if (!form.matches("form.looks")) return;
  event.preventDefault();
  document.documentElement.dataset.look = look;
  for (const button of form.querySelectorAll("button")) button.setAttribute("aria-pressed", String(button.value === look));
  dispatchEvent(new Event("look"));
  const headers = { "X-Form-Key": keyOf(document) };
  fetch("/look", { method: "POST", headers, body: new URLSearchParams({ look, back: "/method" }) }).catch(() => {});
});

keepDrafts();
