// The flights of a lesson: from the side, from above, or in the round where the browser can.
import { chosenView, drawnWords, drawWays, redrawWays } from "./ways.js";

let data = null, address = "", busy = false, stale = false;

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
  redrawWays(place, () => { if (data) draw(); });
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
  if (!data.flights.length) {
    place.replaceChildren();
    place.classList.add("waiting");
    say("");
    return;
  }
  place.classList.remove("waiting");
  const drawn = await drawWays(place, data, chosenView());
  say(`Dashed: before. Solid: with the change.${drawnWords(drawn)}`);
}
