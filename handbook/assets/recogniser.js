// @ts-check
/** Narrows the table of complications by day and signs. Without this script all of it is there. */
(() => {
  "use strict";
  const { filled, element, every, status, choice, fault, onTarget } = Offmidline.dom;

  const BOX = ".om-recogniser";
  const ROW = "tr[data-signs]";
  const LAST_DAY = 365;

  /**
   * Those whose time holds the day and that have all of the signs; if none has, those that have one.
   * @param {Om.Complication[]} all @param {number | null} day null stands for any day @param {string[]} signs
   */
  function fitting(all, day, signs) {
    const then = all.filter((one) => day === null || (one.from <= day && day <= one.to));
    const whole = then.filter((one) => signs.every((sign) => one.signs.includes(sign)));
    if (whole.length) return { shown: whole, how: "every" };
    const some = then.filter((one) => signs.some((sign) => one.signs.includes(sign)));
    return { shown: some, how: some.length ? "some" : "none" };
  }

  /** The day that was typed; null for none, undefined for what is no day. @param {HTMLInputElement} input */
  function dayOf(input) {
    if (input.validity.badInput) return undefined;
    if (input.value === "") return null;
    const day = Number(input.value);
    return Number.isInteger(day) && day >= 0 && day <= LAST_DAY ? day : undefined;
  }

  /** @param {HTMLElement} row */
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
    /** @type {Record<string, string>} */
    const words = JSON.parse(box.dataset.words || "{}");
    /** @type {[string, string][]} */
    const signs = JSON.parse(box.dataset.signs || "[]");
    const all = every(box, ROW).map(complicationOf);

    const form = element("form", "om-form");
    const dayLabel = element("label", "om-form-label", words.day);
    const day = element("input", "om-form-number");
    const wrong = element("p", "om-form-fault");
    const group = element("fieldset", "om-form-group");
    const choices = element("div", "om-form-choices");
    const reset = element("button", "om-form-button", words.reset);
    const said = status("p", "om-form-result");

    Object.assign(day, { type: "number", min: "0", max: String(LAST_DAY), step: "1", id: "recogniser-day" });
    day.inputMode = "numeric";
    dayLabel.htmlFor = day.id;
    wrong.id = "recogniser-fault";
    group.append(element("legend", "om-form-label", words.signs));
    const boxes = signs.map(([sign, name]) => {
      const { input, label } = choice(name, { type: "checkbox", value: sign });
      choices.append(label);
      return input;
    });
    group.append(choices);
    reset.type = "reset";
    const dayLine = element("div", "om-form-line");
    dayLine.append(dayLabel, day, wrong);
    form.append(dayLine, group, reset, said);
    form.setAttribute("aria-label", words.form);
    // The browser would otherwise bring back ticks that the table does not show.
    form.autocomplete = "off";

    function show() {
      const asked = dayOf(day);
      const bad = asked === undefined;
      fault(day, wrong, bad ? filled(words.bad_day, { last: LAST_DAY }) : "");
      const ticked = boxes.filter((tick) => tick.checked).map((tick) => tick.value);
      const { shown, how } = fitting(all, bad ? null : asked, ticked);
      const missed = all.filter((one) => one.danger && !shown.includes(one));
      for (const one of all) one.row.hidden = !shown.includes(one);
      const values = { shown: shown.length, count: all.length, missed: missed.map((one) => one.title).join(", ") };
      const sentence = shown.length === all.length ? words.all : words[how];
      said.textContent = filled(missed.length ? `${sentence} ${words.missed}` : sentence, values);
    }

    form.addEventListener("input", show);
    // The fields are empty only after the event.
    form.addEventListener("reset", () => {
      for (const tick of boxes) tick.checked = false;
      day.value = "";
      show();
    });
    form.addEventListener("submit", (event) => event.preventDefault());
    box.insertBefore(form, box.querySelector(".om-scroll"));
    show();
    // A link to a row that is hidden brings all of them back.
    onTarget((target) => {
      const row = target && /** @type {HTMLElement | null} */ (target.closest(ROW));
      if (!row || !row.hidden || !box.contains(row)) return;
      form.reset();
      row.scrollIntoView();
    });
  }

  every(document, BOX).forEach(enhance);
})();
