// @ts-check

/**
 * Say what is wrong next to the fields it is about; what was said before goes away.
 * @param {{text: string, subject?: string, message?: string, remedy?: string}[]} faults
 * @returns {string[]} faults that no field on this page is about
 */
export function beside(faults) {
  for (const old of document.querySelectorAll("[data-about] .why")) old.remove();
  for (const input of document.querySelectorAll("[data-about] [aria-invalid]")) {
    input.removeAttribute("aria-invalid");
    input.removeAttribute("aria-describedby");
  }
  const rest = faults.filter((fault) => {
    const fields = [...document.querySelectorAll(`[data-about="${CSS.escape(fault.subject ?? "")}"]`)];
    const field = fields.find((each) => each instanceof HTMLElement && each.offsetParent);
    const input = field?.querySelector("input, select");
    if (!field || !(input instanceof HTMLElement)) return true;
    // "is missing" needs its subject; what begins with the text that was typed does not
    const told = `${/^[a-z]/.test(fault.message ?? "") ? "It " : ""}${fault.message}${fault.remedy ? `: ${fault.remedy}` : ""}`;
    const why = Object.assign(document.createElement("small"), { className: "why", textContent: told, id: `why-${fault.subject}` });
    field.append(why);
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", why.id);
    return false;
  });
  const first = document.querySelector("[data-about] [aria-invalid]");
  if (first instanceof HTMLElement) first.focus();
  return rest.map((fault) => fault.text);
}
