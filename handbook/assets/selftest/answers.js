// @ts-check
/**
 * Judges an answer to a question; the same as items/score.py, which is the reference.
 */
(() => {
  "use strict";
  const NOISE = 1e-9; // what floating point adds to a difference that lies exactly at the tolerance
  // Digits in groups of three. A comma before three digits can be meant either way, unless a zero stands before it.
  const GROUPED = new RegExp(
    "^[-−+]?(?:[1-9][0-9]{0,2},[0-9]{3}" +
      "|[0-9]{1,3}(?:[ \\u00a0\\u2009\\u202f'’][0-9]{3})+(?:[.,][0-9]+)?" +
      "|[0-9]{1,3}(?:[.,][0-9]{3})+[.,][0-9]+)$"
  );

  /** @type {Om.Scripts["answers"]["read"]} */
  function read(text) {
    const plain = text.trim();
    if (!plain) return { fault: "empty" };
    if (GROUPED.test(plain)) return { fault: "thousands" };
    const value = Offmidline.number.read(plain);
    return value === null ? { fault: "no_number" } : { value };
  }

  /** @param {Om.Item} item @param {number} given @returns {Om.Outcome} */
  function typed(item, given) {
    const { value, tolerance, slips } = item;
    /** @param {number} other */
    const within = (other) => Math.abs(given - other) <= tolerance + NOISE;
    if (within(value)) return { right: true, about: null };
    /** @type {number | null} */
    let about = null;
    for (const [at, slip] of slips.entries()) {
      const nearer = about === null || Math.abs(given - slip) < Math.abs(given - slips[about]);
      if (within(slip) && nearer) about = at;
    }
    return { right: false, about };
  }

  /** @param {Om.Item} item @param {Om.Answer} answer a number that is typed has to be readable */
  function judge(item, answer) {
    if (typeof answer === "string") {
      const given = read(answer);
      return typed(item, "value" in given ? given.value : NaN);
    }
    if (typeof answer === "number") return { right: answer === item.key, about: answer };
    const at = answer.findIndex((entry, place) => entry !== place);
    return { right: at < 0, about: at < 0 ? null : at };
  }

  Offmidline.answers = Object.freeze({ read, judge });
})();
