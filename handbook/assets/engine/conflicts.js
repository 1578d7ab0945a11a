// @ts-check
/** Why no marking satisfies a technique: the arithmetic of `infeasible.py`. Lengths in mm. */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});

  const PRECISION = 0.01;

  /** @typedef {{constraint: string, at: number | null, required: number, nearest: number | null}} Conflict */

  /**
   * The constraints that cannot hold together, each with its nearest miss, the discs' margin first.
   *
   * @param {any} asked as fit.js takes it
   * @param {{pits_only: any, excised_openings: number[]}} fitted
   * @returns {Conflict[]}
   */
  function explain(asked, { pits_only, excised_openings }) {
    const { feasible, best, demandsOf, pitDiscs, openingDiscs } = Offmidline.fit;
    const { settings } = asked;
    const demands = demandsOf(asked);
    const pits = pitDiscs(asked);
    const openings = openingDiscs(asked, excised_openings);
    const [name, relaxed, kept] = pits_only ? ["opening_margin", openings, pits] : ["pit_margin", pits, []];
    /** @type {Conflict[]} */
    const found = [];

    // Beyond this shortfall even a pit at the verge is outside every outline that keeps its distance.
    const radii = relaxed.map((/** @type {any} */ disc) => disc.radius);
    const most = 2 * (demands.verge_clearance + demands.offset) + Math.max(...radii);
    const margin = least((shortfall) => {
      const shrunk = relaxed.map((/** @type {any} */ disc) => ({ ...disc, radius: disc.radius - shortfall }));
      return feasible([...shrunk, ...kept], demands);
    }, most);
    const lowest = Math.min(...relaxed.map((/** @type {any} */ disc) => disc.y));
    const nearest = margin === null ? null : settings[name] - margin;
    found.push({ constraint: name, at: lowest, required: settings[name], nearest });

    const discs = pits_only ? [...pits, ...openings] : pits;
    const { clearance, apex } = best(discs, demands);
    for (const [constraint, had] of /** @type {[string, number][]} */ ([
      ["verge_clearance", clearance],
      ["lowest_apex", apex],
    ])) {
      const required = settings[constraint];
      const reached = Number.isFinite(had) ? had : null;
      if (had < required) found.push({ constraint, at: null, required, nearest: reached });
    }

    const ratio = settings.length_to_width;
    /** @param {number} shortfall */
    const rounded = (shortfall) => feasible(discs, { ...demands, length_to_width: ratio - shortfall });
    const rounder = least(rounded, ratio - 1);
    if (rounder !== null) {
      found.push({ constraint: "length_to_width", at: null, required: ratio, nearest: ratio - rounder });
    }
    return found;
  }

  /**
   * The least shortfall that is possible, by halving; null where even the most is not.
   *
   * @param {(shortfall: number) => boolean} possible
   * @param {number} most
   * @returns {number | null}
   */
  function least(possible, most) {
    if (!possible(most)) return null;
    let [low, high] = [0, most];
    while (high - low > PRECISION) {
      const middle = (low + high) / 2;
      if (possible(middle)) high = middle;
      else low = middle;
    }
    return high;
  }

  Offmidline.conflicts = Object.freeze({ explain });
})();
