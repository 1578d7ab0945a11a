// @ts-check
/**
 * Judges an answer to a question; the same as items/score.py, which is the reference.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const NOISE = 1e-9; // what floating point adds to a difference that lies exactly at the tolerance
  const NUMBER = /^[-−+]?[0-9]+(?:[.,][0-9]+)?$/;
  // Digits in groups of three. A comma before three digits can be meant either way, unless a zero stands before it.
  const GROUPED = new RegExp(
    "^[-−+]?(?:[1-9][0-9]{0,2},[0-9]{3}" +
      "|[0-9]{1,3}(?:[ \\u00a0\\u2009\\u202f'’][0-9]{3})+(?:[.,][0-9]+)?" +
      "|[0-9]{1,3}(?:[.,][0-9]{3})+[.,][0-9]+)$"
  );

  /** @typedef {{name: string, kind: string, key?: number, shown?: number[], value?: number, tolerance?: number,
   *   slips?: number[], unit?: string}} Item */
  /** @typedef {number | string | number[]} Answer A position, what was typed, or positions in the order given. */
  /** @typedef {{right: boolean, about: number | null}} Judged About: the position of what the feedback is about. */

  /** @param {string} text @returns {{value: number} | {fault: "empty" | "thousands" | "no_number"}} */
  function read(text) {
    const plain = text.trim();
    if (!plain) return { fault: "empty" };
    if (GROUPED.test(plain)) return { fault: "thousands" };
    if (!NUMBER.test(plain)) return { fault: "no_number" };
    return { value: Number(plain.replace("−", "-").replace(",", ".")) };
  }

  /** @param {Item} item @param {number} given @returns {Judged} */
  function typed(item, given) {
    const { value = NaN, tolerance = 0, slips = [] } = item;
    /** @param {number} other */
    const within = (other) => Math.abs(given - other) <= tolerance + NOISE;
    if (within(value)) return { right: true, about: null };
    let about = null;
    slips.forEach((slip, at) => {
      const nearer = about === null || Math.abs(given - slip) < Math.abs(given - slips[about]);
      if (within(slip) && nearer) about = at;
    });
    return { right: false, about };
  }

  /**
   * @param {Item} item
   * @param {Answer} answer a number that is typed has to be readable
   * @returns {Judged}
   */
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
