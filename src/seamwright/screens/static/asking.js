// @ts-check
/**
 * An element that must be there.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function by(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`no #${id} on this page`);
  return found;
}

/**
 * Ask the server; a refusal comes back as its faults in words.
 * @param {string} address
 * @param {object} [content] sent as JSON; without it the address is only read
 * @returns {Promise<{ok: true, said: any} | {ok: false, faults: string[], told: Fault[]}>}
 */
export async function ask(address, content) {
  try {
    const answer = await fetch(address, content === undefined ? {} : {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(content),
    });
    const said = await answer.json();
    if (answer.ok) return { ok: true, said };
    return refusal(said.faults);
  } catch {
    return refusal([{ text: "The program does not answer: is it still running? Nothing more is kept until it does" }]);
  }
}

/** @typedef {{text: string, subject?: string, message?: string, remedy?: string}} Fault */

/** @param {Fault[]} told @returns {{ok: false, faults: string[], told: Fault[]}} */
const refusal = (told) => ({ ok: false, faults: told.map((fault) => fault.text), told });

/**
 * Say what is wrong in a box; an empty list puts the box away.
 * @param {HTMLElement} box
 * @param {string[]} faults
 */
export function complain(box, faults) {
  box.replaceChildren(...faults.map((fault) => Object.assign(document.createElement("p"), { textContent: fault })));
  box.hidden = !faults.length;
}
