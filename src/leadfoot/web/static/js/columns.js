// Confirming columns: only the units that fit a quantity are offered, the usual one first.
const { units, usual, sided } = JSON.parse(document.getElementById("units").textContent);

function fit(row, chosenNow) {
  const what = row.querySelector("[data-what]"), unit = row.querySelector("[data-unit]");
  const [role, key] = what.value.split(":");
  const fitting = role === "quantity" ? units[key] : [];
  for (const option of unit.options) option.hidden = option.disabled = option.value ? !fitting.includes(option.value) : fitting.length > 0;
  if (unit.selectedOptions[0]?.disabled || chosenNow) {
    if (!fitting.includes(unit.value)) unit.value = fitting.length ? usual[key] : "";
  }
  unit.hidden = fitting.length === 0;
  row.querySelector("input[type=checkbox]").hidden = !sided.includes(key);
}

for (const row of document.querySelectorAll("table.confirm tbody tr")) {
  fit(row, false);
  row.querySelector("[data-what]").addEventListener("change", () => fit(row, true));
}
