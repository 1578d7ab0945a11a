// @ts-check
/** Numbers as people write them, and the fields for them. */
(() => {
  "use strict";
  const { element, fault } = Offmidline.dom;
  const MINUS = "−";
  const NUMBER = /^[-−+]?[0-9]+(?:[.,][0-9]+)?$/;

  /** @typedef {Om.Scripts["number"]} Numbers */

  /** @type {Numbers["shown"]} */
  function shown(value, decimals = 1) {
    const factor = 10 ** decimals;
    return String((Math.round(value * factor) || 0) / factor).replace("-", MINUS);
  }

  /** @type {Numbers["amount"]} */
  function amount(value, unit) {
    if (unit === "deg") return `${shown(value)}°`;
    return unit ? `${shown(value)} ${unit}` : shown(value, 2);
  }

  /** @type {Numbers["read"]} */
  function read(text) {
    const plain = text.trim();
    return NUMBER.test(plain) ? Number(plain.replace(MINUS, "-").replace(",", ".")) : null;
  }

  /** @type {Numbers["field"]} */
  function field(id, label, unit, kind, inputMode) {
    const input = element("input", "om-form-number");
    const head = element("label", `${kind}-label`, label);
    const after = element("span", "om-form-unit", unit);
    const wrong = element("span", "om-form-fault");
    Object.assign(input, { id, type: "text", inputMode, autocomplete: "off" });
    head.htmlFor = id;
    after.id = `${id}-unit`;
    wrong.id = `${id}-fault`;
    return {
      line: element("div", `${kind}-line`, head, element("span", "om-form-entry", input, after), wrong),
      input,
      fault: (message) => fault(input, wrong, message, after.id),
    };
  }

  Offmidline.number = Object.freeze({ shown, amount, read, field });
})();
