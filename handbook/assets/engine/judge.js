// @ts-check
/**
 * The judgement of a learner's marking: what follows from it, what each rule finds in that, score and named mistake.
 *
 * The same names, order and comparisons as plan.py, rules.py and exercise.py, whose docstrings say why. What a rule
 * asks comes from the technique's settings, which the page carries.
 */
(() => {
  "use strict";
  const { outline, section } = Offmidline;

  const NOISE = 0.01; // mm, degrees
  const LINE_TOLERANCE = 1; // mm, the width of a drawn line
  const ANGLE_TOLERANCE = 5; // degrees, a cut judged by eye

  const SECTION_RULES = Object.freeze([
    "depth", "lateral-cut", "medial-cut", "flap-thickness", "undermining", "deep-spacing",
  ]);
  const SURFACE_RULES = Object.freeze([
    "side", "offset", "caudal-shift", "reach", "symmetric-width", "length-to-width", "pits-covered",
    "near-openings-excised", "distant-openings-left", "scar-off-midline", "scar-prolongation", "verge-clearance",
  ]);
  const OPENINGS = ["near-openings-excised", "distant-openings-left"];
  /** @type {(keyof Om.Lines)[]} */
  const OUTLINE = ["offset", "caudal_shift", "half_width", "cranial_apex", "caudal_apex"];
  /** @type {Om.MarkingNumber[]} */
  const SECTION = [
    "depth", "lateral_cut_deg", "medial_cut_deg", "flap_thickness", "undermining", "deep_stitches",
    "superficial_stitches",
  ];

  /**
   * Everything that follows from a marking of an exercise's findings; null where it has no outline or no trough.
   * @param {Om.Exercise} exercise @param {Om.Marking} marking @returns {Om.Plan | null}
   */
  function measure(exercise, marking) {
    const { settings, findings } = exercise;
    const o = outline.make(marking.outline);
    const trough = section.trough(marking);
    if (!o || !trough) return null;
    const edge = o.medial_edge;
    /** @param {number} stitches */
    const row = (stitches) => ({ stitches, spacing: section.rowSpacing(edge, stitches) });
    return {
      settings,
      findings,
      marking,
      outline: o,
      trough,
      required_side: exercise.side,
      midline_covered: outline.midlineCovered(o),
      pits: findings.pits.map((pit) => {
        const inside = outline.discMargin(o, 0, pit.at, pit.diameter);
        return { ...pit, margin: inside, excised: inside >= 0 };
      }),
      openings: findings.openings.map((opening, index) => {
        const x = opening.side === marking.side ? opening.lateral : -opening.lateral;
        const distance = outline.signedDistance(o, x, opening.at);
        return {
          ...opening,
          x,
          margin: distance - opening.diameter / 2,
          gap: -distance - opening.diameter / 2,
          decision: marking.excised_openings.includes(index) ? "excise" : "leave",
        };
      }),
      verge_clearance: outline.vergeClearance(o),
      nearest_to_verge: outline.nearestPoint(o, 0, 0),
      depth_window: {
        least: Math.min(findings.cavity_depth + settings.clearance_below_cavity, findings.fascia_depth),
        greatest: findings.fascia_depth,
      },
      base_width: section.baseWidth(trough, o.width),
      trough_area_mm2: section.areaMm2(trough, o.width),
      volume_ml: section.volumeMl(o, trough),
      skin_gap: o.width,
      deep_gap: section.deepGap(o, marking),
      deep_row: row(marking.deep_stitches),
      superficial_row: row(marking.superficial_stitches),
    };
  }

  /**
   * @param {number | string} measured @param {Om.Comparison} comparison @param {number | string} value
   * @param {number} [tolerance] @param {number | null} [upper] @returns {Om.Asked}
   */
  function ask(measured, comparison, value, tolerance = NOISE, upper = null) {
    return [measured, { comparison, value, upper, tolerance }];
  }

  /** @param {any[]} openings @param {"excise" | "leave"} decision @param {"margin" | "gap"} distance */
  function least(openings, decision, distance) {
    const found = openings.filter((opening) => opening.decision === decision).map((opening) => opening[distance]);
    return found.length ? Math.min(...found) : null;
  }

  /** @type {[string, string, (plan: Om.Plan, s: Om.Settings) => Om.Asked | null][]} rule, unit, what it asks */
  const RULES = [
    ["side", "", (p) => ask(p.marking.side, "is", p.required_side)],
    ["offset", "mm", (p, s) => ask(p.outline.offset, "is", s.offset, LINE_TOLERANCE)],
    ["caudal-shift", "mm", (p, s) => ask(p.outline.caudal_shift, "is", s.caudal_shift, LINE_TOLERANCE)],
    ["reach", "mm", (p, s) => ask(p.outline.reach, "at least", s.reach)],
    ["symmetric-width", "mm", (p, s) => ask(2 * (s.offset - p.outline.offset), "is", 0, LINE_TOLERANCE)],
    ["length-to-width", "", (p, s) => ask(p.outline.length_to_width, "at least", s.length_to_width)],
    ["pits-covered", "mm", (p, s) =>
      ask(Math.min(...p.pits.map((pit) => pit.margin)), "at least", s.pit_margin)],
    ["near-openings-excised", "mm", (p, s) => {
      const found = least(p.openings, "excise", "margin");
      return found === null ? null : ask(found, "at least", s.opening_margin);
    }],
    ["distant-openings-left", "mm", (p) => {
      const found = least(p.openings, "leave", "gap");
      return found === null ? null : ask(found, "above", 0);
    }],
    ["scar-off-midline", "mm", (p) => ask(p.outline.scar_nearest_midline, "above", 0)],
    ["scar-prolongation", "mm", (p, s) =>
      ask(p.outline.passes_verge_at, "at least", Math.min(s.verge_clearance, s.offset))],
    ["verge-clearance", "mm", (p, s) => ask(p.verge_clearance, "at least", s.verge_clearance)],
    ["depth", "mm", (p) =>
      ask(p.marking.depth, "between", p.depth_window.least, NOISE, p.depth_window.greatest)],
    ["lateral-cut", "deg", (p, s) => ask(p.marking.lateral_cut_deg, "is", s.lateral_cut_deg, ANGLE_TOLERANCE)],
    ["medial-cut", "deg", (p, s) => ask(p.marking.medial_cut_deg, "is", s.medial_cut_deg, ANGLE_TOLERANCE)],
    ["flap-thickness", "mm", (p, s) =>
      ask(p.marking.flap_thickness, "at least", Math.min(s.flap_thickness, p.marking.depth))],
    ["undermining", "mm", (p, s) => ask(p.marking.undermining, "at least", s.undermining)],
    ["deep-spacing", "mm", (p, s) => ask(p.deep_row.spacing, "at most", s.deep_spacing)],
    ["infiltration-dose", "mg", () => null], // not drawn, and so not asked for
  ];

  /** @param {number | string} measured @param {Om.Requirement} required */
  function met(measured, { comparison, value, upper, tolerance }) {
    if (typeof measured === "string" || typeof value === "string") return measured === value;
    if (comparison === "is") return Math.abs(measured - value) <= tolerance;
    if (comparison === "at most") return measured <= value + tolerance;
    if (comparison === "above") return measured > value;
    return measured >= value - tolerance && (upper === null || measured <= upper + tolerance);
  }

  /** Every rule's verdict on a plan, in the order of the operation. @param {Om.Plan} plan @returns {Om.Verdict[]} */
  function verdictsOf(plan) {
    return RULES.map(([rule, unit, asks]) => {
      const asked = asks(plan, plan.settings);
      if (!asked) return { rule, verdict: "not applicable", measured: null, required: null, unit };
      const [measured, required] = asked;
      return { rule, verdict: met(measured, required) ? "met" : "not met", measured, required, unit };
    });
  }

  /** @type {Om.Scripts["answer"]["judge"]} */
  function judge(exercise, marking, rules = [...SURFACE_RULES, ...SECTION_RULES]) {
    const { weights } = exercise;
    const taken = exercise.right.excised_openings;
    const plan = measure(exercise, { ...marking, excised_openings: taken });
    if (!plan) return null;
    const verdicts = verdictsOf(plan)
      .filter((verdict) => rules.includes(verdict.rule))
      .map((verdict) => ticked(verdict, taken, marking.excised_openings));
    let [points, most] = [0, 0];
    for (const { rule, verdict } of verdicts) {
      if (verdict === "met") points += weights[rule];
      if (verdict !== "not applicable") most += weights[rule];
    }
    return { plan, verdicts, points, most, mistake: recognised(exercise, verdicts, marking) };
  }

  /**
   * A right line does not mend a wrong decision.
   * @param {Om.Verdict} verdict @param {readonly number[]} taken @param {readonly number[]} chosen
   * @returns {Om.Verdict}
   */
  function ticked(verdict, taken, chosen) {
    /** @type {(some: readonly number[], others: readonly number[]) => boolean} */
    const lacks = (some, others) => some.some((index) => !others.includes(index));
    const forgotten = verdict.rule === "near-openings-excised" && lacks(taken, chosen);
    const chased = verdict.rule === "distant-openings-left" && lacks(chosen, taken);
    return forgotten || chased ? { ...verdict, verdict: "not met" } : verdict;
  }

  /**
   * The named mistake that explains all that is broken and leads the same way from the right marking, the nearest of
   * several; null without one.
   * @param {Om.Exercise} exercise @param {Om.Verdict[]} verdicts @param {Om.Marking} marking
   */
  function recognised(exercise, verdicts, marking) {
    const broken = verdicts.filter((verdict) => verdict.verdict === "not met").map((verdict) => verdict.rule);
    const section = broken.every((rule) => SECTION_RULES.includes(rule));
    /** @param {Om.Marking} some */
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

  Offmidline.answer = Object.freeze({ judge, SURFACE_RULES, SECTION_RULES });
})();
