// A tap on the left stone of "Turn the stone" writes the mark down as a setter would: clock position, how far out.
// The page works without it: marks are typed, one a line.
document.addEventListener("click", (event) => {
  const box = document.querySelector("textarea[data-tap]");
  const svg = event.target.closest("#answer svg.drawing");
  if (!box || !svg) return;
  const stone = svg.querySelector("circle.girdle");
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const x = at.x - Number(stone.getAttribute("cx"));
  const y = Number(stone.getAttribute("cy")) - at.y;
  const out = Math.hypot(x, y) / Number(stone.getAttribute("r"));
  if (out > 1) return;
  const minutes = Math.round(((((90 - (Math.atan2(y, x) * 180) / Math.PI) % 360) + 360) % 360) * 2) % 720;
  const hour = Math.floor(minutes / 60) || 12;
  const row = `${hour}:${String(minutes % 60).padStart(2, "0")}, ${Math.round(out * 100)} %, 0.2 mm`;
  box.value = box.value.trim() ? `${box.value.trimEnd()}\n${row}` : row;
  box.dispatchEvent(new Event("input", { bubbles: true }));
});
