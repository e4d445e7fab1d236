// A file dropped anywhere on the page goes into the form that takes files.

export function dropping(place, tooLargeFix) {
  const form = place?.closest("form") ?? place;
  if (!form) return;
  form.addEventListener("submit", (event) => tooLarge(event, tooLargeFix));
  let depth = 0;
  const carriesFile = (event) => event.dataTransfer?.types.includes("Files");
  const over = (on) => document.body.classList.toggle("dropping", on);
  addEventListener("dragenter", (event) => { if (carriesFile(event)) { depth += 1; over(true); } });
  addEventListener("dragleave", () => { depth = Math.max(0, depth - 1); if (!depth) over(false); });
  addEventListener("dragover", (event) => { if (carriesFile(event)) event.preventDefault(); });
  addEventListener("drop", (event) => {
    if (!carriesFile(event)) return;
    event.preventDefault();
    depth = 0;
    over(false);
    form.querySelector("input[type=file]").files = event.dataTransfer.files;
    form.requestSubmit();
  });
}

function tooLarge(event, fix) {
  const form = event.target, file = form.querySelector("input[type=file]").files[0];
  if (!file || file.size <= Number(form.dataset.limit)) return;
  event.preventDefault();
  event.stopPropagation();
  const place = form.querySelector(".form-trouble");
  place.querySelector("[data-what]").textContent = `${file.name} has ${(file.size / 2 ** 20).toFixed(0)} MB; at most ${form.dataset.limit / 2 ** 20} MB are read at once.`;
  place.querySelector("[data-fix]").textContent = fix;
  place.hidden = false;
}
