// @ts-check
/**
 * What the exercises share with their page: its data and words, elements, and numbers as people write them.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const MINUS = "−";
  const NUMBER = /^[-−]?\d+(?:[.,]\d+)?$/;

  /** @typedef {Record<string, any>} Words A section of the messages; what stands in [brackets] is filled in. */

  /**
   * JSON that the page holds in an element of a class; null where it has none.
   *
   * @param {string} kind
   * @param {ParentNode} [inside]
   * @returns {any}
   */
  function data(kind, inside = document) {
    const found = inside.querySelector(`script.${kind}`);
    return found ? JSON.parse(found.textContent || "null") : null;
  }

  /** @type {Words | undefined} */
  let known;

  /** The words of the exercises. @returns {Words} */
  function words() {
    return (known ??= data("om-exercise-words") || {});
  }

  /**
   * @param {string} text
   * @param {Record<string, string | number>} values
   */
  function filled(text, values) {
    return text.replace(/\[(\w+)\]/g, (_, name) => String(values[name]));
  }

  /**
   * @template {keyof HTMLElementTagNameMap} Name
   * @param {Name} name
   * @param {string} kind class names
   * @param {(Node | string)[]} inside
   * @returns {HTMLElementTagNameMap[Name]}
   */
  function element(name, kind, ...inside) {
    const made = document.createElement(name);
    if (kind) made.className = kind;
    made.append(...inside);
    return made;
  }

  /** A number with the decimals that a reader needs, without a minus zero: `20`, `−2.5`. */
  function shown(/** @type {number} */ value, decimals = 1) {
    const factor = 10 ** decimals;
    return String((Math.round(value * factor) || 0) / factor).replace("-", MINUS);
  }

  /** A number with its unit: `20 mm`, `45°`, `2.05` where it has none. */
  function amount(/** @type {number} */ value, /** @type {string} */ unit) {
    if (unit === "deg") return `${shown(value)}°`;
    return unit ? `${shown(value)} ${unit}` : shown(value, 2);
  }

  /** What was typed, with a decimal comma or point; null for what is no number. @param {string} text */
  function number(text) {
    const plain = text.trim();
    return NUMBER.test(plain) ? Number(plain.replace(MINUS, "-").replace(",", ".")) : null;
  }

  Offmidline.page = Object.freeze({ data, words, filled, element, shown, amount, number });
})();
