// @ts-check
/** A state with its way back: it is replaced whole by every change, and changes between begin and end are one step. */
(() => {
  "use strict";
  /** @type {Om.Scripts["history"]["keep"]} */
  function keep(start) {
    let state = start;
    /** @type {typeof start[]} */
    const past = [];
    /** @type {typeof start | null} */
    let before = null;
    /** @type {((forced: boolean) => void)[]} */
    const watchers = [];
    const tell = (forced = false) => watchers.forEach((watch) => watch(forced));

    function begin() {
      before ??= state;
    }
    function end() {
      if (before && before !== state) past.push(before);
      before = null;
    }
    /** @param {Partial<typeof start>} change */
    function set(change) {
      const next = { ...state, ...change };
      if (/** @type {(keyof typeof start)[]} */ (Object.keys(next)).every((key) => state[key] === next[key])) return;
      state = next;
      tell();
    }
    return Object.freeze({
      state: () => state,
      begin,
      end,
      set,
      step(/** @type {Partial<typeof start>} */ change) {
        begin();
        set(change);
        end();
      },
      undo() {
        end();
        const last = past.pop();
        if (last) state = last;
        tell(true);
        return Boolean(last);
      },
      reset() {
        begin();
        state = start;
        end();
        tell(true);
      },
      watch: (/** @type {(forced: boolean) => void} */ watch) => void watchers.push(watch),
    });
  }

  Offmidline.history = Object.freeze({ keep });
})();
