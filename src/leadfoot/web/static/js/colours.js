// The colours and faces of the page, for what is drawn on a canvas or in space.
const NAMES = ["paper", "leaf", "ink", "soft", "line", "edge", "turf", "sand", "flag", "contour", "before", "after"];

export function colours() {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(NAMES.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
}

export function faces() {
  const style = getComputedStyle(document.documentElement);
  return { words: style.getPropertyValue("--words").trim(), numbers: style.getPropertyValue("--numbers").trim() };
}

// Size of a letter on this page, in px: figures grow with the page.
export function letter() {
  return parseFloat(getComputedStyle(document.documentElement).fontSize);
}

// Calls back when the look changes: by the switch on the page, or by the machine's own setting.
export function onLook(redraw) {
  addEventListener("look", redraw);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
}
