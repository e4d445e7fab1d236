// The page's one WebSocket: hears that the book changed, and comes back after a cut by itself.
const SILENCE_MS = 25000;
const FIRST_WAIT_MS = 300;
const LONGEST_WAIT_MS = 5000;
const NOT_SIGNED_IN = 1008;

export function keepInStep({ since, lesson, onChange, onState }) {
  let wait = FIRST_WAIT_MS, dead = 0, retry = 0;
  function open() {
    const address = new URL("/live", location.href);
    address.protocol = location.protocol === "https:" ? "wss:" : "ws:";
    address.searchParams.set("since", since());
    if (lesson) address.searchParams.set("lesson", lesson);
    const socket = new WebSocket(address);
    const alive = () => {
      clearTimeout(dead);
      dead = setTimeout(() => socket.close(), SILENCE_MS);
    };
    socket.onopen = alive;
    socket.onmessage = ({ data }) => {
      alive();
      wait = FIRST_WAIT_MS;
      onState("live");
      const said = JSON.parse(data);
      if ("change" in said) onChange(said.change);
    };
    socket.onclose = ({ code }) => {
      clearTimeout(dead);
      onState(code === NOT_SIGNED_IN ? "out" : "away");
      retry = setTimeout(open, wait);
      wait = Math.min(wait * 2, LONGEST_WAIT_MS);
    };
  }
  // A page that comes back from sleep or from a network cut does not wait for its turn.
  addEventListener("online", () => { wait = FIRST_WAIT_MS; });
  addEventListener("pagehide", () => { clearTimeout(retry); });
  open();
}
