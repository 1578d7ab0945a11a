// @ts-check
/**
 * Narrows the table of complications by day and signs. Without this script all of it is there.
 *
 * A plain script, so that it runs from a folder as well as from a server. The words come from the page.
 */
(() => {
  "use strict";

  const BOX = ".om-recogniser";
  const ROW = "tr[data-signs]";
  const LAST_DAY = 365;

  /** @typedef {{from: number, to: number, signs: string[], danger: boolean, title: string, row: HTMLElement}} Complication */
  /** @typedef {"every" | "some" | "none"} How All of the signs, or at least one where nothing has all. */
  /** @typedef {Record<string, string>} Words */

  /**
   * Those whose time holds the day and that have all of the signs; if none has, those that have one.
   *
   * @param {Complication[]} all
   * @param {number | null} day null stands for any day
   * @param {string[]} signs
   * @returns {{shown: Complication[], how: How}}
   */
  function fitting(all, day, signs) {
    const then = all.filter((one) => day === null || (one.from <= day && day <= one.to));
    const every = then.filter((one) => signs.every((sign) => one.signs.includes(sign)));
    if (every.length) return { shown: every, how: "every" };
    const some = then.filter((one) => signs.some((sign) => one.signs.includes(sign)));
    return { shown: some, how: some.length ? "some" : "none" };
  }

  /**
   * The day that was typed; null for none, undefined for what is no day.
   *
   * @param {HTMLInputElement} input
   * @returns {number | null | undefined}
   */
  function dayOf(input) {
    if (input.validity.badInput) return undefined;
    if (input.value === "") return null;
    const day = Number(input.value);
    return Number.isInteger(day) && day >= 0 && day <= LAST_DAY ? day : undefined;
  }

  /**
   * @param {string} words
   * @param {Record<string, string | number>} values
   * @returns {string}
   */
  function filled(words, values) {
    return words.replace(/\[(\w+)\]/g, (_, name) => String(values[name]));
  }

  /**
   * @template {keyof HTMLElementTagNameMap} Name
   * @param {Name} name
   * @param {string} className
   * @param {string} [text]
   * @returns {HTMLElementTagNameMap[Name]}
   */
  function element(name, className, text = "") {
    const made = document.createElement(name);
    made.className = className;
    made.textContent = text;
    return made;
  }

  /**
   * @param {HTMLElement} row
   * @returns {Complication}
   */
  function complicationOf(row) {
    const { from = "", to = "", signs = "", danger } = row.dataset;
    const title = row.querySelector(".om-title");
    return {
      from: Number(from),
      to: to === "" ? Infinity : Number(to),
      signs: signs.split(" "),
      danger: danger !== undefined,
      title: title ? String(title.textContent) : "",
      row,
    };
  }

  /** @param {HTMLElement} box */
  function enhance(box) {
    /** @type {Words} */
    const words = JSON.parse(box.dataset.words || "{}");
    /** @type {[string, string][]} */
    const signs = JSON.parse(box.dataset.signs || "[]");
    const all = /** @type {HTMLElement[]} */ ([...box.querySelectorAll(ROW)]).map(complicationOf);

    const form = element("form", "om-form");
    const dayLabel = element("label", "om-form-label", words.day);
    const day = element("input", "om-form-number");
    const wrong = element("p", "om-form-fault");
    const group = element("fieldset", "om-form-group");
    const choices = element("div", "om-form-choices");
    const reset = element("button", "om-form-button", words.reset);
    const said = element("p", "om-form-result");

    Object.assign(day, { type: "number", min: "0", max: String(LAST_DAY), step: "1", id: "recogniser-day" });
    day.inputMode = "numeric";
    dayLabel.htmlFor = day.id;
    wrong.id = "recogniser-fault";
    group.append(element("legend", "om-form-label", words.signs));
    const boxes = signs.map(([sign, name]) => {
      const label = element("label", "om-form-choice");
      const tick = element("input", "");
      Object.assign(tick, { type: "checkbox", value: sign });
      label.append(tick, element("span", "", name));
      choices.append(label);
      return tick;
    });
    group.append(choices);
    reset.type = "reset";
    said.setAttribute("role", "status");
    const dayLine = element("div", "om-form-line");
    dayLine.append(dayLabel, day, wrong);
    form.append(dayLine, group, reset, said);
    form.setAttribute("aria-label", words.form);
    // The browser would otherwise bring back ticks that the table does not show.
    form.autocomplete = "off";

    function show() {
      const asked = dayOf(day);
      const bad = asked === undefined;
      wrong.textContent = bad ? filled(words.bad_day, { last: LAST_DAY }) : "";
      if (bad) {
        day.setAttribute("aria-invalid", "true");
        day.setAttribute("aria-describedby", wrong.id);
      } else {
        day.removeAttribute("aria-invalid");
        day.removeAttribute("aria-describedby");
      }
      const ticked = boxes.filter((tick) => tick.checked).map((tick) => tick.value);
      const { shown, how } = fitting(all, bad ? null : asked, ticked);
      const missed = all.filter((one) => one.danger && !shown.includes(one));
      for (const one of all) one.row.hidden = !shown.includes(one);
      const values = { shown: shown.length, count: all.length, missed: missed.map((one) => one.title).join(", ") };
      const sentence = shown.length === all.length ? words.all : words[how];
      said.textContent = filled(missed.length ? `${sentence} ${words.missed}` : sentence, values);
    }

    /** A link to a row that is hidden brings all of them back. */
    function follow() {
      const target = document.getElementById(decoded(location.hash.slice(1)));
      const row = target && /** @type {HTMLElement | null} */ (target.closest(ROW));
      if (!row || !row.hidden || !box.contains(row)) return;
      form.reset();
      row.scrollIntoView();
    }

    form.addEventListener("input", show);
    // The fields are empty only after the event.
    form.addEventListener("reset", () => {
      for (const tick of boxes) tick.checked = false;
      day.value = "";
      show();
    });
    form.addEventListener("submit", (event) => event.preventDefault());
    addEventListener("hashchange", follow);
    // A second click on the same link changes no address.
    document.addEventListener("click", (event) => {
      const link = event.target instanceof Element && event.target.closest("a");
      if (link && link.hash && link.href === location.href) follow();
    });
    const place = box.querySelector(".om-scroll");
    box.insertBefore(form, place);
    show();
  }

  /**
   * @param {string} text
   * @returns {string}
   */
  function decoded(text) {
    try {
      return decodeURIComponent(text);
    } catch {
      return text; // a stray percent sign
    }
  }

  document.querySelectorAll(BOX).forEach((box) => enhance(/** @type {HTMLElement} */ (box)));
})();
