// @ts-check
/**
 * Keeps and counts the ticks of a checklist. Without this script the boxes can be ticked, and that is all.
 *
 * A plain script, so that it runs from a folder as well as from a server. The words come from the page. A tick is
 * kept under technique, phase and step, in this browser alone; one whose step is no longer listed waits, unseen,
 * for the step to come back.
 */
(() => {
  "use strict";

  const list = /** @type {HTMLElement | null} */ (document.querySelector(".om-checklist"));
  if (!list) return;
  const words = list.dataset;
  const prefix = `offmidline/${words.technique}/`;
  const boxes = /** @type {HTMLInputElement[]} */ ([...list.querySelectorAll("[data-tick]")]);
  const counts = /** @type {HTMLElement[]} */ ([...list.querySelectorAll("[data-steps]")]);
  const said = /** @type {HTMLElement} */ (list.querySelector(".om-checklist-said"));
  const place = /** @type {HTMLElement} */ (list.querySelector(".om-checklist-clear"));

  /** @type {Set<string>} The steps that are ticked, as phase/step. */
  let ticks = new Set();

  /**
   * Does something with what the browser keeps, which it may refuse.
   *
   * @param {(kept: Storage) => void} use
   * @returns {boolean} Whether it could be done.
   */
  function keeping(use) {
    try {
      use(localStorage);
      return true;
    } catch {
      return false;
    }
  }

  function load() {
    keeping((kept) => {
      const keys = Array.from({ length: kept.length }, (_, at) => kept.key(at) || "");
      ticks = new Set(keys.filter((key) => key.startsWith(prefix)).map((key) => key.slice(prefix.length)));
    });
    show();
  }

  function show() {
    for (const box of boxes) box.checked = ticks.has(box.dataset.tick || "");
    for (const count of counts) {
      const steps = (count.dataset.steps || "").split(" ");
      const text = put(count.dataset.done, "done", steps.filter((step) => ticks.has(step)).length);
      if (count.textContent !== text) count.textContent = text;
    }
  }

  /**
   * @param {HTMLInputElement} box
   */
  function tick(box) {
    const step = box.dataset.tick || "";
    if (box.checked) ticks.add(step);
    else ticks.delete(step);
    tellWhere(
      keeping((kept) => (box.checked ? kept.setItem(prefix + step, "1") : kept.removeItem(prefix + step)))
    );
    show();
  }

  /** @param {string[]} steps */
  function clear(steps) {
    for (const step of steps) {
      ticks.delete(step);
      keeping((kept) => kept.removeItem(prefix + step));
    }
    show();
  }

  /** @param {boolean} kept Whether the browser keeps ticks. */
  function tellWhere(kept) {
    const note = /** @type {HTMLElement} */ (list?.querySelector(".om-checklist-note"));
    note.textContent = (kept ? words.kept : words.refused) || "";
  }

  /**
   * @param {string | undefined} text
   * @param {string} name
   * @param {number} value
   * @returns {string} The text with the value in the place of its name.
   */
  function put(text, name, value) {
    return (text || "").replace(`{${name}}`, String(value));
  }

  /** @param {string} [label] */
  function button(label = "") {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "om-checklist-button";
    made.textContent = label;
    return made;
  }

  /**
   * A button that clears ticks when it is pressed a second time.
   *
   * @param {string} label
   * @param {string} scope How the steps begin that it clears.
   */
  function addClearing(label, scope) {
    const group = document.createElement("span");
    const go = button(label);
    const keep = button(words.keep);
    let armed = false;

    /** @param {string} text */
    function rest(text) {
      armed = false;
      go.textContent = label;
      keep.hidden = true;
      said.textContent = text;
    }

    go.addEventListener("click", () => {
      const steps = [...ticks].filter((step) => step.startsWith(scope));
      if (armed) {
        clear(steps);
        rest(put(words.cleared, "count", steps.length));
      } else if (steps.length) {
        armed = true;
        go.textContent = put(words.confirm, "count", steps.length);
        said.textContent = words.ask || "";
        keep.hidden = false;
      } else {
        said.textContent = words.nothing || "";
      }
    });
    keep.addEventListener("click", () => {
      rest("");
      go.focus();
    });
    group.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !armed) return;
      rest("");
      go.focus();
    });
    group.addEventListener("focusout", (event) => {
      if (armed && !group.contains(/** @type {Node | null} */ (event.relatedTarget))) rest("");
    });
    keep.hidden = true;
    group.append(go, keep);
    place.append(group);
  }

  boxes.forEach((box) => box.addEventListener("change", () => tick(box)));
  if (place.dataset.clear) addClearing(words.phase || "", `${place.dataset.clear}/`);
  addClearing(words.all || "", "");
  tellWhere(
    keeping((kept) => {
      const trial = `${prefix}?`; // no step has such a name
      kept.setItem(trial, "");
      kept.removeItem(trial);
    })
  );
  load();
  // Another page of the list may have been used beside this one, or before the way back to it; and some browsers
  // tick boxes again by themselves.
  addEventListener("storage", load);
  addEventListener("pageshow", load);
})();
