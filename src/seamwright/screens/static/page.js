// @ts-check
// Every page: choices for units and light take effect at once; without this script the button does it.
for (const select of document.querySelectorAll(".manner select")) {
  select.addEventListener("change", () => /** @type {HTMLSelectElement} */ (select).form?.requestSubmit());
}
// On a narrow page the tabs of a board slide; the one that is open is brought into view.
const tab = document.querySelector(".tabs [aria-current]");
if (tab?.parentElement) tab.parentElement.scrollLeft = /** @type {HTMLElement} */ (tab).offsetLeft - tab.parentElement.offsetLeft - 40;
