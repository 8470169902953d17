// @ts-check
// Every page: choices for units and light take effect at once; without this script the button does it.
for (const select of document.querySelectorAll(".manner select")) {
  select.addEventListener("change", () => /** @type {HTMLSelectElement} */ (select).form?.requestSubmit());
}
