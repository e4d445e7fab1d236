// Waits until no finger and no mouse button is down: what is replaced under one loses the press.

const LONGEST_MS = 2000; // a press that lasts longer, or whose end was not heard, holds nothing up
const CLICK_MS = 60; // after a finger is lifted its click comes with a later event

let ended = null, end = null;

function release() {
  end?.();
  ended = end = null;
}

addEventListener("pointerdown", () => {
  release();
  ended = new Promise((resolve) => { end = resolve; });
  setTimeout(end, LONGEST_MS);
}, true);
for (const name of ["pointerup", "pointercancel"]) {
  addEventListener(name, () => {
    const mine = end;
    setTimeout(() => { if (end === mine) release(); }, CLICK_MS);
  }, true);
}

export async function released() {
  while (ended) {
    const waitedFor = ended;
    await waitedFor;
    if (ended === waitedFor) release();
  }
}
