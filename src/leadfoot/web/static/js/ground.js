// The ground page: traces, the strike, two blocks, recordings given by drop.
import { drawCompared } from "./compared.js";
import { dropping } from "./drop.js";
import { strikeSaved } from "./trace_hands.js";
import { loadTraces } from "./traces.js";

const stack = document.getElementById("stack");

// The page stays with its recording when another one comes in.
function keepRecording() {
  const id = stack?.dataset.from.match(/\d+/)?.[0], address = new URL(location.href);
  if (!id || address.searchParams.has("recording")) return;
  address.searchParams.set("recording", id);
  history.replaceState(null, "", address);
}

addEventListener("parts", ({ detail: { replaced } }) => {
  if (replaced.includes("compared")) drawCompared();
  if (["strike", "found", "numbers", "says"].some((part) => replaced.includes(part))) {
    strikeSaved();
    loadTraces();
  }
});
for (const box of document.querySelectorAll("#panels input")) box.addEventListener("change", loadTraces);

keepRecording();
dropping(document.getElementById("drop-row"), "Cut the recording, or export fewer columns, and give it again.");
if (stack) loadTraces();
drawCompared();
