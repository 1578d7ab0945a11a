// @ts-check
/**
 * Makes a form of a question that stands in the page: options to choose from, a number to type, or entries to put in
 * order. Nothing is judged here.
 */
(() => {
  "use strict";
  const { answers, dom } = Offmidline;
  const { element, one, every } = dom;

  /** A copy without ids, which stay with the original. @param {Element} original */
  function copy(original) {
    const made = /** @type {HTMLElement} */ (original.cloneNode(true));
    for (const part of [made, ...made.querySelectorAll("[id]")]) part.removeAttribute("id");
    return made;
  }

  /** @param {HTMLElement} section */
  function group(section) {
    const legend = element("legend", "om-item-asks", ...one(section, ".om-item-asks").childNodes);
    one(section, ".om-item-asks").remove();
    return element("fieldset", "om-item-field", legend);
  }

  /** @param {HTMLElement} section @param {Om.Item} item @returns {Om.Form} */
  function choice(section, item) {
    const field = group(section);
    const list = one(section, ".om-item-options");
    const drawn = Boolean(list.querySelector(".om-picture"));
    const rows = every(list, "li").map((entry, at) => {
      const text = one(entry, "span");
      const how = { type: "radio", name: section.id, value: String(at), autocomplete: /** @type {const} */ ("off") };
      const { input: radio, label } = dom.choice(text, how);
      const row = element("div", "om-item-choice", label);
      const picture = entry.querySelector(".om-picture");
      if (picture) {
        row.append(picture);
        // A drawing is part of what is chosen, for the pointer; the radio button is it for everybody.
        picture.addEventListener("click", () => radio.disabled || radio.click());
      }
      return { row, radio, text };
    });
    list.remove();
    field.append(element("div", drawn ? "om-item-drawings" : "om-item-choices", ...rows.map(({ row }) => row)));

    /** @param {number} at */
    function told(at) {
      const { row, text } = rows[at];
      const drawing = row.querySelector("svg");
      return [element("p", "", copy(text)), ...(drawing ? [copy(drawing)] : [])];
    }
    return {
      field,
      read() {
        const at = rows.findIndex(({ radio }) => radio.checked);
        return at < 0 ? { fault: "no_choice" } : { answer: at };
      },
      lock: (locked) => void (field.disabled = locked),
      reset: () => rows.forEach(({ radio }) => (radio.checked = false)),
      given: told,
      right: () => told(item.key),
      fault() {},
    };
  }

  /** @param {HTMLElement} section @param {Om.Item} item @returns {Om.Form} */
  function number(section, item) {
    const input = element("input", "om-form-number");
    const unit = element("span", "om-item-unit", item.unit);
    const asks = element("label", "om-item-asks", ...one(section, ".om-item-asks").childNodes);
    one(section, ".om-item-asks").remove();
    Object.assign(input, { type: "text", id: `${section.id}-answer`, autocomplete: "off", inputMode: "decimal" });
    asks.htmlFor = input.id;
    unit.id = `${section.id}-unit`;
    const key = one(section, ".om-item-key .om-item-value");

    return {
      field: element("div", "om-item-field", asks, element("div", "om-form-line", input, unit)),
      read() {
        const found = answers.read(input.value);
        return "fault" in found ? found : { answer: input.value };
      },
      lock: (locked) => void (input.readOnly = locked),
      reset: () => void (input.value = ""),
      given: (answer) => [element("p", "", `${answer.trim()} ${item.unit}`)],
      right: () => [element("p", "", copy(key))],
      fault(message, place) {
        dom.fault(input, place, message, unit.id);
        if (message) input.focus();
      },
    };
  }

  /** @type {Om.Scripts["forms"]["make"]} */
  function order(section, item, words, say) {
    const field = group(section);
    const list = element("ol", "om-item-order");
    const right = every(section, ".om-answer > ol > li");
    const entries = every(section, ".om-item-options > li").map((entry, at) => {
      const text = element("span", "om-item-entry", ...entry.childNodes);
      const row = element("li", "");
      const buttons = [-1, 1].map((way) => {
        const made = dom.button(way < 0 ? "↑" : "↓", () => move(row, way, made), "om-item-move");
        const label = way < 0 ? words.up : words.down;
        made.setAttribute("aria-label", dom.filled(label, { entry: text.textContent || "" }));
        return made;
      });
      row.addEventListener("keydown", (event) => {
        const way = { ArrowUp: -1, ArrowDown: 1 }[event.key];
        if (!way) return;
        event.preventDefault();
        move(row, way, buttons[way < 0 ? 0 : 1]);
      });
      row.append(element("div", "om-item-row", text, element("span", "om-item-moves", ...buttons)));
      return { row, buttons, text, place: item.shown[at] };
    });
    one(section, ".om-item-options").remove();
    field.append(list);

    function show() {
      const rows = [...list.children];
      for (const { row, buttons } of entries) {
        const at = rows.indexOf(row);
        buttons[0].setAttribute("aria-disabled", String(at === 0));
        buttons[1].setAttribute("aria-disabled", String(at === rows.length - 1));
      }
    }

    /** @param {HTMLElement} row @param {number} way @param {HTMLElement} button */
    function move(row, way, button) {
      const other = way < 0 ? row.previousElementSibling : row.nextElementSibling;
      if (!other || field.disabled) return;
      if (way < 0) other.before(row);
      else other.after(row);
      show();
      button.focus();
      const place = [...list.children].indexOf(row) + 1;
      const entry = one(row, ".om-item-entry").textContent || "";
      say(dom.filled(words.moved, { entry, place, count: entries.length }));
    }

    function reset() {
      list.replaceChildren(...entries.map(({ row }) => row));
      show();
    }

    /** An order without its reasons, and what is not at its place marked. @param {number[]} places */
    function told(places) {
      const rows = places.map((place, at) => {
        const made = element("li", "", copy(one(right[place], "span")));
        if (place !== at) made.append(element("span", "om-item-off", ` ✗ ${words.misplaced}`));
        return made;
      });
      return [element("ol", "", ...rows)];
    }
    reset();
    return {
      field,
      read() {
        const placed = [...list.children].map((row) => Number(entries.find((entry) => entry.row === row)?.place));
        return { answer: placed };
      },
      lock: (locked) => void (field.disabled = locked),
      reset,
      given: told,
      right: () => [element("ol", "", ...right.map(copy))],
      fault() {},
    };
  }

  /** The form of a question; `say` tells what was moved. @type {Om.Scripts["forms"]["make"]} */
  function make(section, item, words, say) {
    if (item.kind === "numeric") return number(section, item);
    return item.kind === "order" ? order(section, item, words, say) : choice(section, item);
  }

  Offmidline.forms = Object.freeze({ make, copy });
})();
