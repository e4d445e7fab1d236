// The bay's big screen: its picture, drawn anew with every ball.
import { drawPattern } from "./pattern.js";

function draw() {
  const { pattern } = JSON.parse(document.getElementById("pictures").textContent);
  drawPattern(pattern);
}

addEventListener("parts", ({ detail: { replaced } }) => {
  if (replaced.includes("pictures")) draw();
});
draw();
