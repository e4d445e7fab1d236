// Keeps what was typed into a form until it is in the book: through a reload, a way back, a lost link.

const PLACE = "draft:", SENT = "draft-sent";
const LONGEST = 200000; // letters; what a browser keeps for a page is limited

function fieldsOf(form) {
  return [...form.querySelectorAll("input[type=text], input:not([type]), textarea")].filter((field) => field.name);
}

// A page of ours that came after a form was sent has its text in the book, or typed into it.
function forgetSent() {
  const sent = sessionStorage.getItem(SENT);
  const cameBack = performance.getEntriesByType("navigation")[0]?.type === "back_forward";
  if (sent && !cameBack) sessionStorage.removeItem(sent);
  sessionStorage.removeItem(SENT);
}

function keep(form, place) {
  const typed = fieldsOf(form).filter((field) => field.value !== field.defaultValue);
  const text = JSON.stringify(Object.fromEntries(typed.map((field) => [field.name, field.value])));
  if (text.length <= LONGEST) sessionStorage.setItem(place, text);
}

function bringBack(form, place) {
  const kept = JSON.parse(sessionStorage.getItem(place) ?? "{}");
  for (const field of fieldsOf(form)) {
    if (!kept[field.name] || field.value !== field.defaultValue) continue;
    field.value = kept[field.name];
    const fold = field.closest("details");
    if (fold) fold.open = true;
  }
}

export function keepDrafts() {
  forgetSent();
  for (const form of document.querySelectorAll("form[data-draft]")) {
    const place = PLACE + form.dataset.draft;
    if (!form.querySelector(".form-trouble:not([hidden])")) bringBack(form, place);
    form.addEventListener("input", () => keep(form, place));
    form.addEventListener("sent", () => sessionStorage.removeItem(place));
    form.addEventListener("submit", () => { if (!("quiet" in form.dataset)) sessionStorage.setItem(SENT, place); });
  }
}
