// Brings new parts into the page without losing what was typed, the focus or the scroll.

const TYPED = "input:not([type=hidden]):not([type=file]), textarea, select";

function keyOf(control) {
  if (control.type === "radio" || control.type === "checkbox") return `${control.name}=${control.value}`;
  return control.id || control.name;
}

function touched(control) {
  if (control.type === "radio" || control.type === "checkbox") return control.checked !== control.defaultChecked;
  if (control instanceof HTMLSelectElement) {
    return [...control.options].some((option) => option.selected !== option.defaultSelected) && control.dataset.touched === "yes";
  }
  return control.value !== control.defaultValue;
}

addEventListener("change", ({ target }) => {
  if (target instanceof HTMLSelectElement) target.dataset.touched = "yes";
}, true);

function remember(part) {
  const focused = part.contains(document.activeElement) ? document.activeElement : null;
  return {
    typed: [...part.querySelectorAll(TYPED)].filter(touched).map((control) => ({
      key: keyOf(control), value: control.value, checked: control.checked,
    })),
    folds: [...part.querySelectorAll("details")].map((fold) => fold.open),
    scrolls: [...part.querySelectorAll(".scroll")].map((box) => [box.scrollLeft, box.scrollTop]),
    focus: focused && {
      key: keyOf(focused), action: focused.getAttribute("formaction"),
      start: focused.selectionStart ?? null, end: focused.selectionEnd ?? null,
    },
  };
}

function restore(part, kept) {
  const controls = [...part.querySelectorAll(TYPED)];
  for (const { key, value, checked } of kept.typed) {
    const control = controls.find((one) => keyOf(one) === key && !one.disabled);
    if (!control) continue;
    if (control.type === "radio" || control.type === "checkbox") control.checked = checked;
    else if (!(control instanceof HTMLSelectElement) || [...control.options].some((option) => option.value === value)) {
      control.value = value;
      if (control instanceof HTMLSelectElement) control.dataset.touched = "yes";
    }
  }
  [...part.querySelectorAll("details")].forEach((fold, k) => { if (kept.folds[k] !== undefined) fold.open = kept.folds[k]; });
  [...part.querySelectorAll(".scroll")].forEach((box, k) => {
    if (kept.scrolls[k]) [box.scrollLeft, box.scrollTop] = kept.scrolls[k];
  });
  if (kept.focus) focusAgain(part, controls, kept.focus);
}

function focusAgain(part, controls, { key, action, start, end }) {
  let target = action && part.querySelector(`[formaction="${CSS.escape(action)}"]`);
  target ||= key && controls.find((one) => keyOf(one) === key && !one.disabled);
  target ||= part.querySelector("button, input:not([disabled]), a");
  target?.focus({ preventScroll: true });
  if (target && start !== null && typeof target.setSelectionRange === "function" && target.type === "text") {
    target.setSelectionRange(start, end);
  }
}

// Replaces every part marked `data-live` that differs in the fresh page; returns the ids replaced.
export function swapParts(fresh) {
  const replaced = [];
  for (const part of document.querySelectorAll("[data-live]")) {
    const next = fresh.getElementById(part.id);
    if (!next || next.isEqualNode(part.freshest ?? part)) continue;
    const node = document.importNode(next, true);
    const kept = remember(part);
    node.freshest = next;
    part.replaceWith(node);
    restore(node, kept);
    replaced.push(part.id);
  }
  swapOptions(fresh);
  return replaced;
}

// A list of choices outside the live parts gets its new choices, and keeps the one that was made.
function swapOptions(fresh) {
  for (const list of document.querySelectorAll("select[data-live-options]")) {
    const next = fresh.getElementById(list.id);
    if (!next || next.innerHTML === list.innerHTML) continue;
    const value = list.value, made = list.dataset.touched === "yes";
    list.replaceChildren(...document.importNode(next, true).childNodes);
    const has = [...list.options].some((option) => option.value === value);
    list.value = (made || !fresh.chosenAnew) && has && !value.startsWith("new:") ? value : next.value;
  }
}
