// Keeps what was typed into a form until it has been sent, through a reload or a way back.

const PLACE = "draft:";

function fieldsOf(form) {
  return [...form.querySelectorAll("input[type=text], input:not([type]), textarea")].filter((field) => field.name);
}

export function keepDrafts() {
  for (const form of document.querySelectorAll("form[data-draft]")) {
    const place = PLACE + form.dataset.draft;
    const refused = form.querySelector(".form-trouble:not([hidden])");
    const kept = JSON.parse(sessionStorage.getItem(place) ?? "{}");
    for (const field of fieldsOf(form)) {
      if (!refused && kept[field.name] && field.value === field.defaultValue) {
        field.value = kept[field.name];
        if (field.closest("details")) field.closest("details").open = true;
      }
    }
    form.addEventListener("input", () => {
      const typed = fieldsOf(form).filter((field) => field.value !== field.defaultValue);
      sessionStorage.setItem(place, JSON.stringify(Object.fromEntries(typed.map((field) => [field.name, field.value]))));
    });
    form.addEventListener("submit", () => { sessionStorage.removeItem(place); });
  }
}
