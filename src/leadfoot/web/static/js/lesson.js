// The page of a lesson: its figures, the chosen ball, and tables given by drop.
import { dropping } from "./drop.js";
import { flightsLoaded, loadFlights, whenSeen } from "./flights.js";
import { drawPattern, patternWords } from "./pattern.js";
import { drawRun } from "./run.js";

let seenPlaces = null;

function figures() {
  const { pattern, run } = JSON.parse(document.getElementById("pictures").textContent);
  drawPattern(pattern);
  const note = document.getElementById("pattern-note");
  if (pattern && note) note.textContent = patternWords(pattern);
  document.getElementById("figures").hidden = !run.places.length;
  drawRun(run);
  markArrived(run);
}

// A ball that came in while the page was open lights up once.
function markArrived(run) {
  const places = new Set(run.places);
  if (seenPlaces && places.size > seenPlaces.size && places.size - seenPlaces.size <= 3) {
    for (const place of places) {
      if (!seenPlaces.has(place)) document.querySelector(`tr[data-place="${place}"]`)?.classList.add("arrived");
    }
  }
  seenPlaces = places;
}

function markChosen() {
  for (const row of document.querySelectorAll("table.shots tbody tr")) {
    row.classList.toggle("chosen", Boolean(row.querySelector('input[name="shot"]:checked')));
  }
}

// A ball clicked in the picture is the chosen one in the table.
addEventListener("ball", ({ detail: place }) => {
  const choice = document.querySelector(`tr[data-place="${place}"] input[name="shot"]`);
  if (!choice || choice.disabled) return;
  choice.checked = true;
  markChosen();
  choice.closest("tr").scrollIntoView({ block: "nearest" });
});
addEventListener("change", ({ target }) => { if (target.name === "shot") markChosen(); });

addEventListener("parts", ({ detail: { replaced } }) => {
  if (replaced.includes("pictures")) {
    figures();
    if (flightsLoaded()) loadFlights();
  }
  if (replaced.includes("shots")) markChosen();
});

// A typed ball has a key of its own: sent again unchanged, because the answer was lost or a key was
// pressed twice, it is the same ball.
const typed = document.getElementById("type");
function newKey() {
  typed.elements.once.value = [...crypto.getRandomValues(new Uint8Array(16))].map((one) => one.toString(16).padStart(2, "0")).join("");
}
if (typed) newKey();
typed?.addEventListener("input", newKey);
typed?.addEventListener("sent", ({ detail: sent }) => {
  const line = document.getElementById("line");
  line.defaultValue = "";
  if (line.value !== sent.get("line")) return; // the next ball is being typed already
  line.value = "";
  newKey();
  line.focus();
});
figures();
markChosen();
dropping(document.getElementById("drop"), "Split the table into several files, and give them one by one.");
whenSeen();
