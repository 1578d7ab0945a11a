// @ts-check
/**
 * What the scripts need of their page: elements, data, words, choices, faults, addresses. Loaded before all others.
 *
 * Plain scripts, so that a page works from a folder as well as from a server. The words come from the page. What each
 * gives to those after it is told with the types, in tests/site/offmidline.d.ts.
 */
(() => {
  "use strict";
  /** @typedef {Om.Scripts["dom"]} Dom */

  /** @type {Dom["data"]} */
  function data(kind) {
    return JSON.parse(document.querySelector(`script.${kind}`)?.textContent || "null");
  }

  /** @type {Dom["filled"]} */
  function filled(text, values) {
    return text.replace(/\[(\w+)\]/g, (_, name) => String(values[name]));
  }

  /** @type {Dom["element"]} */
  function element(name, kind, ...inside) {
    const made = document.createElement(name);
    if (kind) made.className = kind;
    made.append(...inside);
    return made;
  }

  /** @type {Dom["one"]} */
  const one = (inside, selector) => /** @type {HTMLElement} */ (inside.querySelector(selector));

  /** @type {Dom["every"]} */
  const every = (inside, selector) => /** @type {HTMLElement[]} */ ([...inside.querySelectorAll(selector)]);

  /** @type {Dom["button"]} */
  function button(label, press, kind = "om-form-button") {
    const made = element("button", kind, label);
    made.type = "button";
    made.addEventListener("click", press);
    return made;
  }

  /** @type {Dom["status"]} */
  function status(name, kind, ...inside) {
    const made = element(name, kind, ...inside);
    made.setAttribute("role", "status");
    return made;
  }

  /** @type {Dom["head"]} */
  function head(scope, ...inside) {
    const made = element("th", "", ...inside);
    made.scope = scope;
    return made;
  }

  /** @type {Dom["choice"]} */
  function choice(label, made) {
    const input = element("input", "");
    Object.assign(input, made);
    const text = typeof label === "string" ? element("span", "", label) : label;
    return { input, label: element("label", "om-form-choice", input, text) };
  }

  /** @type {Dom["fault"]} */
  function fault(input, place, message, unit = "") {
    place.textContent = message;
    const told = message ? `${unit} ${place.id}`.trim() : unit;
    const attributes = { "aria-invalid": message && "true", "aria-describedby": told };
    for (const [name, value] of Object.entries(attributes)) {
      if (value) input.setAttribute(name, value);
      else input.removeAttribute(name);
    }
  }

  /** @type {Dom["onTarget"]} */
  function onTarget(follow) {
    function go() {
      let name = location.hash.slice(1);
      try {
        name = decodeURIComponent(name);
      } catch {
        // A stray percent sign stays.
      }
      follow(document.getElementById(name));
    }
    addEventListener("hashchange", go);
    // A second click on the same link changes no address.
    document.addEventListener("click", (event) => {
      const link = event.target instanceof Element && event.target.closest("a");
      if (link && link.hash && link.href === location.href) go();
    });
    go();
  }

  // Each script that follows adds what it gives.
  window.Offmidline = /** @type {Om.Scripts} */ ({});
  Offmidline.dom = Object.freeze({ data, filled, element, one, every, button, status, head, choice, fault, onTarget });
})();
