// @ts-check
/**
 * The judgement of a learner's marking: verdicts, score, and the named mistake. The same as exercise.py.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const { measure, judge: verdictsOf } = Offmidline.rules;

  /** @typedef {any} Marking as in rules.js */
  /** @typedef {any} Verdict as in rules.js */
  /** @typedef {{mistake: string, breaks: string[], may_break: string[], marking: Marking}} Mistake */
  /**
   * @typedef {{weights: Record<string, number>, right: Marking, mistakes: Mistake[], settings: Record<string, number>,
   *   findings: any, side: "left" | "right"}} Exercise
   */

  const SECTION_RULES = Object.freeze([
    "depth", "lateral-cut", "medial-cut", "flap-thickness", "undermining", "deep-spacing",
  ]);
  const SURFACE_RULES = Object.freeze([
    "side", "offset", "caudal-shift", "reach", "symmetric-width", "length-to-width", "pits-covered",
    "near-openings-excised", "distant-openings-left", "scar-off-midline", "scar-prolongation", "verge-clearance",
  ]);
  const OPENINGS = ["near-openings-excised", "distant-openings-left"];
  const OUTLINE = ["offset", "caudal_shift", "half_width", "cranial_apex", "caudal_apex"];
  const SECTION = [
    "depth", "lateral_cut_deg", "medial_cut_deg", "flap_thickness", "undermining", "deep_stitches",
    "superficial_stitches",
  ];

  /**
   * Judge a marking whose excised openings are those that the learner ticked; null where it encloses nothing.
   *
   * @param {Exercise} exercise
   * @param {Marking} marking
   * @param {readonly string[]} [rules] those that are asked for
   * @returns {{plan: any, verdicts: Verdict[], points: number, most: number, mistake: string | null} | null}
   */
  function judge(exercise, marking, rules = [...SURFACE_RULES, ...SECTION_RULES]) {
    const { weights } = exercise;
    const taken = exercise.right.excised_openings;
    const plan = measure(exercise, { ...marking, excised_openings: taken });
    if (!plan) return null;
    const verdicts = verdictsOf(plan)
      .filter((/** @type {Verdict} */ verdict) => rules.includes(verdict.rule))
      .map((/** @type {Verdict} */ verdict) => ticked(verdict, taken, marking.excised_openings));
    let [points, most] = [0, 0];
    for (const { rule, verdict } of verdicts) {
      if (verdict === "met") points += weights[rule];
      if (verdict !== "not applicable") most += weights[rule];
    }
    return {
      plan,
      verdicts,
      points,
      most,
      mistake: recognised(exercise, verdicts, marking),
    };
  }

  /**
   * A right line does not mend a wrong decision.
   *
   * @param {Verdict} verdict
   * @param {number[]} taken
   * @param {number[]} chosen
   * @returns {Verdict}
   */
  function ticked(verdict, taken, chosen) {
    /** @type {(some: number[], others: number[]) => boolean} */
    const lacks = (some, others) => some.some((index) => !others.includes(index));
    const forgotten = verdict.rule === "near-openings-excised" && lacks(taken, chosen);
    const chased = verdict.rule === "distant-openings-left" && lacks(chosen, taken);
    return forgotten || chased ? { ...verdict, verdict: "not met" } : verdict;
  }

  /**
   * The named mistake that explains all that is broken and leads the same way from the right marking, the nearest of
   * several; null without one.
   *
   * @param {Exercise} exercise
   * @param {Verdict[]} verdicts
   * @param {Marking} marking
   * @returns {string | null}
   */
  function recognised(exercise, verdicts, marking) {
    const broken = verdicts.filter((verdict) => verdict.verdict === "not met").map((verdict) => verdict.rule);
    const section = broken.every((rule) => SECTION_RULES.includes(rule));
    /** @type {(some: Marking) => number[]} */
    const numbers = (some) => (section ? SECTION.map((name) => some[name]) : OUTLINE.map((name) => some.outline[name]));
    const [own, right] = [numbers(marking), numbers(exercise.right)];
    /** @type {(wrong: number[]) => boolean} */
    const sameWay = (wrong) => own.reduce((sum, a, i) => sum + (a - right[i]) * (wrong[i] - right[i]), 0) >= 0;
    const fitting = exercise.mistakes.filter(
      ({ breaks, may_break, marking: wrong }) =>
        breaks.every((rule) => broken.includes(rule)) &&
        broken.every((rule) => breaks.includes(rule) || may_break.includes(rule)) &&
        (breaks.every((rule) => OPENINGS.includes(rule)) || sameWay(numbers(wrong))),
    );
    let [nearest, least] = [/** @type {string | null} */ (null), Infinity];
    for (const { mistake, marking: wrong } of fitting) {
      const far = numbers(wrong).reduce((sum, b, i) => sum + Math.abs(own[i] - b), 0);
      if (far < least) [nearest, least] = [mistake, far];
    }
    return nearest;
  }

  Offmidline.answer = Object.freeze({ judge, recognised, SURFACE_RULES, SECTION_RULES });
})();
