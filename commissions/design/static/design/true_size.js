// Sets every shape to true size as the slider moves, and keeps the setting on this device alone.
// Without this file the same form asks the server, and the setting stands in the address.
document.addEventListener("DOMContentLoaded", () => {
  const form = document.querySelector("[data-true-size]");
  if (!form) return;
  const KEY = "px-per-mm", BAR = 50;
  const slider = form.elements.namedItem("px_per_mm"), measured = form.elements.namedItem("measured");
  const low = Number(slider.min), high = Number(slider.max);
  const store = {
    // A browser's zoom changes how many screen pixels a CSS pixel takes, and the ratio tells by how much.
    read() {
      try {
        const kept = JSON.parse(localStorage.getItem(KEY));
        return kept && kept.px > 0 ? (kept.px * kept.ratio) / devicePixelRatio : null;
      } catch { return null; }
    },
    write(px) {
      try {
        localStorage.setItem(KEY, JSON.stringify({ px, ratio: devicePixelRatio }));
        document.querySelector("[data-kept]").hidden = false;
      } catch { /* a device that keeps nothing: it is set anew next time */ }
    },
  };
  const show = (px, keep) => {
    px = Math.min(Math.max(px, low), high);
    slider.value = px;
    for (const shape of document.querySelectorAll("svg[data-mm]")) {
      const [width, height] = shape.dataset.mm.split(" ").map(Number);
      shape.setAttribute("width", (width * px).toFixed(3));
      shape.setAttribute("height", (height * px).toFixed(3));
    }
    if (keep) store.write(px);
  };

  slider.addEventListener("input", () => show(Number(slider.value), true));
  for (const button of form.querySelectorAll("button[name=step]")) {
    button.addEventListener("click", (event) => {
      event.preventDefault();
      show(Number(slider.value) + (button.value === "more" ? 0.02 : -0.02), true);
    });
  }
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const found = Number(measured.value.trim().replace(",", "."));
    if (found > 0) {
      show((Number(slider.value) * BAR) / found, true);
      measured.value = "";
    }
  });
  for (const hidden of form.querySelectorAll("[data-script-hides]")) hidden.hidden = true;

  const asked = new URLSearchParams(location.search).has("px_per_mm");
  const kept = asked ? Number(slider.value) : store.read();
  if (kept) {
    show(kept, asked);
    form.querySelector("[data-set-screen]").open = asked;
    document.querySelector("[data-kept]").hidden = false;
  }
  const zoomed = document.querySelector("[data-zoomed]");
  const look = () => { zoomed.hidden = Math.abs(visualViewport.scale - 1) < 0.02; };
  if (window.visualViewport) {
    visualViewport.addEventListener("resize", look);
    look();
  }
});
