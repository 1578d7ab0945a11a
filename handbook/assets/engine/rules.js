// @ts-check
/**
 * What follows from a marking, and what each rule finds in it.
 *
 * The same names, order and comparisons as plan.py and rules.py, whose docstrings say why. What a rule asks comes
 * from the technique's settings, which the page carries.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const { outline, margin, section } = Offmidline;

  const NOISE = 0.01; // mm, degrees
  const LINE_TOLERANCE = 1; // mm, the width of a drawn line
  const ANGLE_TOLERANCE = 5; // degrees, a cut judged by eye

  /** @typedef {"left" | "right"} Side */
  /** @typedef {{at: number, diameter: number}} Pit */
  /** @typedef {Pit & {lateral: number, side: Side}} Opening */
  /** @typedef {{pits: Pit[], openings: Opening[], cavity_depth: number, fascia_depth: number}} Findings */
  /** @typedef {{settings: Record<string, number>, findings: Findings, side: Side}} Exercise */
  /**
   * @typedef {{side: Side, outline: any, excised_openings: number[], depth: number, lateral_cut_deg: number,
   *   medial_cut_deg: number, flap_thickness: number, undermining: number, deep_stitches: number,
   *   superficial_stitches: number}} Marking
   */
  /** @typedef {any} Plan What measure returns. */
  /** @typedef {"is" | "at least" | "at most" | "between" | "above"} Comparison */
  /**
   * @typedef {{comparison: Comparison, value: number | string, upper: number | null,
   *   tolerance: number}} Requirement
   */
  /** @typedef {[number | string, Requirement]} Asked what is measured and what is required */
  /**
   * @typedef {{rule: string, verdict: "met" | "not met" | "not applicable", measured: number | string | null,
   *   required: Requirement | null, unit: string}} Verdict
   */

  /**
   * Everything that follows from a marking of an exercise's findings; null where it has no outline or no trough.
   *
   * @param {Exercise} exercise
   * @param {Marking} marking
   * @returns {Plan | null}
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
      midline_covered: margin.midlineCovered(o),
      pits: findings.pits.map((pit) => {
        const inside = margin.discMargin(o, 0, pit.at, pit.diameter);
        return { ...pit, margin: inside, excised: inside >= 0 };
      }),
      openings: findings.openings.map((opening, index) => {
        const x = opening.side === marking.side ? opening.lateral : -opening.lateral;
        const distance = margin.signedDistance(o, x, opening.at);
        return {
          ...opening,
          x,
          margin: distance - opening.diameter / 2,
          gap: -distance - opening.diameter / 2,
          decision: marking.excised_openings.includes(index) ? "excise" : "leave",
        };
      }),
      verge_clearance: margin.vergeClearance(o),
      nearest_to_verge: margin.nearestPoint(o, 0, 0),
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
   * @param {number | string} measured
   * @param {Comparison} comparison
   * @param {number | string} value
   * @param {number} [tolerance]
   * @param {number | null} [upper]
   * @returns {Asked}
   */
  function ask(measured, comparison, value, tolerance = NOISE, upper = null) {
    return [measured, { comparison, value, upper, tolerance }];
  }

  /**
   * @param {any[]} openings
   * @param {"excise" | "leave"} decision
   * @param {"margin" | "gap"} distance
   * @returns {number | null}
   */
  function least(openings, decision, distance) {
    const found = openings.filter((opening) => opening.decision === decision).map((opening) => opening[distance]);
    return found.length ? Math.min(...found) : null;
  }

  /** @type {[string, string, (plan: Plan, s: Record<string, number>) => Asked | null][]} rule, unit, what it asks */
  const RULES = [
    ["side", "", (p) => ask(p.marking.side, "is", p.required_side)],
    ["offset", "mm", (p, s) => ask(p.outline.offset, "is", s.offset, LINE_TOLERANCE)],
    ["caudal-shift", "mm", (p, s) => ask(p.outline.caudal_shift, "is", s.caudal_shift, LINE_TOLERANCE)],
    ["reach", "mm", (p, s) => ask(p.outline.reach, "at least", s.reach)],
    ["symmetric-width", "mm", (p, s) => ask(2 * (s.offset - p.outline.offset), "is", 0, LINE_TOLERANCE)],
    ["length-to-width", "", (p, s) => ask(p.outline.length_to_width, "at least", s.length_to_width)],
    ["pits-covered", "mm", (p, s) =>
      ask(Math.min(...p.pits.map((/** @type {any} */ pit) => pit.margin)), "at least", s.pit_margin)],
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

  /**
   * @param {number | string} measured
   * @param {Requirement} required
   * @returns {boolean}
   */
  function met(measured, { comparison, value, upper, tolerance }) {
    if (typeof measured === "string" || typeof value === "string") return measured === value;
    if (comparison === "is") return Math.abs(measured - value) <= tolerance;
    if (comparison === "at most") return measured <= value + tolerance;
    if (comparison === "above") return measured > value;
    return measured >= value - tolerance && (upper === null || measured <= upper + tolerance);
  }

  /**
   * Every rule's verdict on a plan, in the order of the operation.
   *
   * @param {Plan} plan
   * @returns {Verdict[]}
   */
  function judge(plan) {
    return RULES.map(([rule, unit, asks]) => {
      const asked = asks(plan, plan.settings);
      if (!asked) return { rule, verdict: "not applicable", measured: null, required: null, unit };
      const [measured, required] = asked;
      return { rule, verdict: met(measured, required) ? "met" : "not met", measured, required, unit };
    });
  }

  Offmidline.rules = Object.freeze({ measure, judge });
})();
