// A tap on the drawing puts the mark; a named place and the arrows move it without a turn to the server.
// The page works without this file: there the same buttons ask the server.
document.addEventListener("DOMContentLoaded", () => {
  const form = document.getElementById("comment");
  const plan = form && form.querySelector("svg[data-pins]");
  if (!plan) return;
  const mark = plan.querySelector("[data-mark]");
  const box = (name) => form.elements.namedItem(name);
  const place = box("place"), said = form.querySelector("[data-said]");
  const named = [...place.options].filter((option) => option.dataset.x);
  const { x: left, y: top, width, height } = plan.viewBox.baseVal;
  const within = (value, low, high) => Math.min(Math.max(value, low), high);
  const step = 0.2;

  const put = (x, y, key) => {
    x = within(x, left, left + width);
    y = within(y, -top - height, -top);
    box("x").value = x.toFixed(3);
    box("y").value = y.toFixed(3);
    place.value = key;
    box("marked").value = key;
    mark.setAttribute("transform", `translate(${x} ${-y})`);
    mark.removeAttribute("visibility");
    const far = (option) => Math.hypot(option.dataset.x - x, option.dataset.y - y);
    const near = named.reduce((best, option) => (far(option) < far(best) ? option : best), named[0]);
    said.textContent = said.dataset.near + near.textContent;
  };
  const stands = () =>
    box("x").value === "" ? [left + width / 2, -top - height / 2] : [Number(box("x").value), Number(box("y").value)];
  const nudge = (way) => {
    const [x, y] = stands();
    const by = { left: [-step, 0], right: [step, 0], up: [0, step], down: [0, -step] }[way];
    put(x + by[0], y + by[1], place.value);
  };

  plan.setAttribute("data-taps", "");
  plan.addEventListener("click", (event) => {
    if (event.target.closest("a")) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(plan.getScreenCTM().inverse());
    put(at.x, -at.y, "");
  });
  place.addEventListener("change", () => {
    const option = place.selectedOptions[0];
    if (option && option.dataset.x) put(Number(option.dataset.x), Number(option.dataset.y), option.value);
  });
  for (const button of form.querySelectorAll("button[name=nudge]")) {
    button.addEventListener("click", (event) => {
      event.preventDefault();
      nudge(button.value);
    });
    button.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down" }[event.key];
      if (!way) return;
      event.preventDefault();
      nudge(way);
    });
  }
  for (const button of form.querySelectorAll("[data-script-hides]")) button.hidden = true;
});
