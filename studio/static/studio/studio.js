// Small helps that a page works without: focus on an error summary, the browser's own clock zone,
// and the print button. No page depends on this file.
document.addEventListener("DOMContentLoaded", () => {
  const focus = document.querySelector("[data-focus]");
  if (focus) focus.focus();
  for (const box of document.querySelectorAll("input[data-zone]")) {
    box.value = Intl.DateTimeFormat().resolvedOptions().timeZone || "";
  }
  for (const button of document.querySelectorAll("[data-print]")) {
    button.hidden = false;
    button.addEventListener("click", () => window.print());
  }
});
document.addEventListener("htmx:afterSwap", (event) => {
  const focus = event.target.querySelector && event.target.querySelector("[data-focus]");
  if (focus) focus.focus();
});
