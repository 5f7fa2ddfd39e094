// A tap on the plot fills in clock position and distance; the form works without it.
document.addEventListener("DOMContentLoaded", () => {
  const plot = document.querySelector("svg[data-plot]");
  const position = document.getElementById("id_position");
  const distance = document.getElementById("id_distance");
  if (!plot || !position || !distance) return;
  const radii = plot.dataset.radii.split(" ").map(Number);
  const [x0, y0] = plot.dataset.middle.split(" ").map(Number);
  const dot = document.createElementNS("http://www.w3.org/2000/svg", "circle");
  dot.setAttribute("class", "pointer");
  plot.addEventListener("click", (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(plot.getScreenCTM().inverse());
    const x = at.x - x0, y = -at.y - y0;
    const angle = ((Math.atan2(y, x) * 180) / Math.PI + 360) % 360;
    const low = Math.floor(angle / 5) % radii.length, share = angle / 5 - Math.floor(angle / 5);
    const radius = radii[low] * (1 - share) + radii[(low + 1) % radii.length] * share;
    const minutes = Math.round((((90 - angle + 360) % 360) * 2) / 5) * 5 % 720;
    const hour = Math.floor(minutes / 60) || 12;
    position.value = `${hour}:${String(minutes % 60).padStart(2, "0")}`;
    distance.value = Math.min(Math.round((Math.hypot(x, y) / radius) * 100), 100);
    dot.setAttribute("cx", at.x);
    dot.setAttribute("cy", at.y);
    dot.setAttribute("r", radius * 0.03);
    plot.append(dot);
  });
});
