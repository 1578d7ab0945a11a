// @ts-check
/**
 * Keeps and counts the ticks of a checklist. Without this script the boxes can be ticked, and that is all.
 * A tick is kept under technique, phase and step, in this browser alone; one whose step is no longer listed waits,
 * unseen, for the step to come back.
 */
(() => {
  "use strict";
  const { filled, one, every, button } = Offmidline.dom;

  const KIND = "om-checklist-button";
  const list = /** @type {HTMLElement | null} */ (document.querySelector(".om-checklist"));
  if (!list) return;
  const words = list.dataset;
  const prefix = `offmidline/${words.technique}/`;
  const boxes = /** @type {HTMLInputElement[]} */ (every(list, "[data-tick]"));
  const counts = every(list, "[data-steps]");
  const said = one(list, ".om-checklist-said");
  const place = one(list, ".om-checklist-clear");
  const note = one(list, ".om-checklist-note");

  /** @type {Set<string>} The steps that are ticked, as phase/step. */
  let ticks = new Set();

  /** Whether the browser, which may refuse, let something be done with what it keeps.
   * @param {(kept: Storage) => void} use
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
      const text = filled(count.dataset.done || "", { done: steps.filter((step) => ticks.has(step)).length });
      if (count.textContent !== text) count.textContent = text;
    }
  }

  /** @param {HTMLInputElement} box */
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
    note.textContent = (kept ? words.kept : words.refused) || "";
  }

  /**
   * A button that clears ticks when it is pressed a second time.
   * @param {string} label @param {string} scope How the steps begin that it clears.
   */
  function addClearing(label, scope) {
    const group = document.createElement("span");
    const go = button(label, press, KIND);
    const keep = button(words.keep || "", () => {
      rest("");
      go.focus();
    }, KIND);
    let armed = false;

    /** @param {string} text */
    function rest(text) {
      armed = false;
      go.textContent = label;
      keep.hidden = true;
      said.textContent = text;
    }

    function press() {
      const steps = [...ticks].filter((step) => step.startsWith(scope));
      if (armed) {
        clear(steps);
        rest(filled(words.cleared || "", { count: steps.length }));
      } else if (steps.length) {
        armed = true;
        go.textContent = filled(words.confirm || "", { count: steps.length });
        said.textContent = words.ask || "";
        keep.hidden = false;
      } else {
        said.textContent = words.nothing || "";
      }
    }
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
