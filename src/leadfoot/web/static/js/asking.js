// Asks the desk what a moved slider does, and gives its answers on in their order.
const MOST_IN_FLIGHT = 2;

// Every request has its number: an answer that comes after a later one is dropped. While two are
// under way the next one waits, so that a slider that is dragged does not pile up work.
export function asking(address, { show, trouble }) {
  let asked = 0, shownNumber = 0, inFlight = 0, waiting = false;
  return async function ask() {
    asked += 1;
    if (inFlight === MOST_IN_FLIGHT) { waiting = true; return; }
    inFlight += 1;
    const number = asked, found = await answerAt(address());
    inFlight -= 1;
    if (waiting) { waiting = false; ask(); }
    if (number < shownNumber) return;
    shownNumber = number;
    if (found.schema) await show(found);
    else trouble(found);
  };
}

async function answerAt(address) {
  try {
    return await (await fetch(address)).json();
  } catch {
    return { what: "The desk does not answer.", fix: "Move a slider once more when it is back; nothing is lost." };
  }
}
