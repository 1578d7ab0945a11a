// @ts-check
/**
 * When each question is to be asked again: kept in this browser alone, or, where it keeps nothing, while the page is
 * open.
 */
(() => {
  "use strict";
  const PLACE = "offmidline/self-test";

  /** A day as year-month-day, by the clock of this device. @param {number} [later] days from today */
  function day(later = 0) {
    const now = new Date();
    const then = new Date(now.getFullYear(), now.getMonth(), now.getDate() + later);
    /** @param {number} number */
    const two = (number) => String(number).padStart(2, "0");
    return `${then.getFullYear()}-${two(then.getMonth() + 1)}-${two(then.getDate())}`;
  }

  /** @param {unknown} one @returns {one is Om.Kept} */
  function sound(one) {
    const { due, row } = /** @type {Partial<Om.Kept>} */ (one ?? {});
    return /^\d{4}-\d\d-\d\d$/.test(String(due)) && Number.isInteger(row) && Number(row) >= 0;
  }

  /**
   * `afterRight` are the days until it is asked again by right answers in a row, the last for all that follow.
   * @type {Om.Scripts["progress"]["open"]}
   */
  function open(afterRight, afterWrong) {
    /** @type {Record<string, Om.Kept>} */
    let items = {};
    let keeps = true;

    function load() {
      if (!keeps) return;
      try {
        const found = Object.entries(JSON.parse(localStorage.getItem(PLACE) || "{}") || {});
        items = Object.fromEntries(found.filter(([, one]) => sound(one)));
      } catch (problem) {
        keeps = problem instanceof SyntaxError;
      }
    }

    function save() {
      try {
        localStorage.setItem(PLACE, JSON.stringify(items));
        if (!Object.keys(items).length) localStorage.removeItem(PLACE);
      } catch {
        keeps = false;
      }
    }

    /**
     * Notes an answer and tells when it is to be asked again. A right answer before its day moves nothing: what is
     * fresh says little of what will be kept.
     * @param {string} name @param {boolean} right
     */
    function note(name, right) {
      load();
      const before = items[name];
      const early = right && before && before.row > 0 && before.due > day();
      if (!early) {
        const row = right ? (before?.row ?? 0) + 1 : 0;
        const days = right ? afterRight[Math.min(row, afterRight.length) - 1] : afterWrong;
        items[name] = { due: day(days), row };
        save();
      }
      return items[name].due;
    }

    function due() {
      load();
      return Object.keys(items).filter((name) => items[name].due <= day());
    }

    function all() {
      load();
      return { ...items };
    }

    function erase() {
      items = {};
      save();
    }

    load();
    save(); // tells whether anything is kept
    return Object.freeze({ note, due, all, erase, keeps: () => keeps });
  }

  Offmidline.progress = Object.freeze({ open, day });
})();
