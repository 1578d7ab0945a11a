// @ts-check
/**
 * Signed distance from points and discs to an outline, mm, positive inside; and the midline that it takes.
 *
 * The same arithmetic as geometry/margin.py and geometry/coverage.py: the nearest point in closed form on the cranial
 * arcs, by Newton's method from the best of a sample on the bent caudal halves.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const { edgePoint, edgeTangent, edgeX } = Offmidline.outline;

  /** @typedef {"medial" | "lateral"} Edge */
  /** @typedef {[number, number]} Point */
  /** @typedef {any} Outline What Offmidline.outline.make returns. */

  /** @type {[Edge, number][]} */
  const EDGES = [["medial", -1], ["lateral", 1]];
  const SAMPLES = 65;
  const NEWTON_STEPS = 5;
  const LEVELS = 257;
  const PRECISION = 1e-9; // to which levels are told

  /**
   * @param {number} value
   * @param {number} low
   * @param {number} high
   * @returns {number}
   */
  function clip(value, low, high) {
    return Math.min(Math.max(value, low), high);
  }

  /**
   * The outline's nearest point to (x, y).
   *
   * @param {Outline} o
   * @param {number} x
   * @param {number} y
   * @returns {Point}
   */
  function nearestPoint(o, x, y) {
    /** @type {Point} */
    let best = [0, 0];
    let least = Infinity;
    for (const [edge, sign] of EDGES) {
      for (const phi of [...onCranialArc(o, sign, x, y), ...onCaudalHalf(o, edge, sign, x, y)]) {
        const point = edgePoint(o, edge, phi);
        const distance = Math.hypot(point[0] - x, point[1] - y);
        if (distance < least) [best, least] = [point, distance];
      }
    }
    return best;
  }

  /**
   * phi of the perpendicular's foot on the arc, and of the arc's two ends.
   *
   * @param {Outline} o
   * @param {number} sign
   * @param {number} x
   * @param {number} y
   * @returns {number[]}
   */
  function onCranialArc(o, sign, x, y) {
    const centre = o.offset + sign * (o.half_width - o.radius);
    const phi = Math.atan2(y - o.widest_level, sign * (x - centre));
    return [clip(phi, 0, o.alpha), 0, o.alpha];
  }

  /**
   * phi of the nearest sample, and what Newton's method makes of it.
   *
   * @param {Outline} o
   * @param {Edge} edge
   * @param {number} sign
   * @param {number} x
   * @param {number} y
   * @returns {number[]}
   */
  function onCaudalHalf(o, edge, sign, x, y) {
    const { alpha, radius } = o;
    const turn = 2 * o.caudal_shift * (radius / o.half_length) ** 2;
    /** @param {number} i */
    const sample = (i) => alpha * (clip(i, 0, SAMPLES - 1) / (SAMPLES - 1) - 1);
    let [best, least] = [0, Infinity];
    for (let i = 0; i < SAMPLES; i += 1) {
      const [px, py] = edgePoint(o, edge, sample(i));
      const distance = Math.hypot(px - x, py - y);
      if (distance < least) [best, least] = [i, distance];
    }
    let phi = sample(best);
    for (let step = 0; step < NEWTON_STEPS; step += 1) {
      const [px, py] = edgePoint(o, edge, phi);
      const [dx, dy] = edgeTangent(o, edge, phi);
      const ddx = turn * Math.cos(2 * phi) - sign * radius * Math.cos(phi);
      const slope = (px - x) * dx + (py - y) * dy;
      const bend = dx * dx + dy * dy + (px - x) * ddx - (py - y) * radius * Math.sin(phi);
      if (bend > 0) phi = clip(phi - slope / bend, sample(best - 1), sample(best + 1));
    }
    return [sample(best), phi];
  }

  /**
   * @param {Outline} o
   * @param {number} x
   * @param {number} y
   * @returns {number}
   */
  function signedDistance(o, x, y) {
    const [px, py] = nearestPoint(o, x, y);
    const distance = Math.hypot(px - x, py - y);
    const level = y > o.caudal_apex && y < o.cranial_apex;
    return level && x > edgeX(o, "medial", y) && x < edgeX(o, "lateral", y) ? distance : -distance;
  }

  /**
   * Signed distance from a disc's rim, at its worst point, to the outline.
   *
   * @param {Outline} o
   * @param {number} x
   * @param {number} y
   * @param {number} diameter
   * @returns {number}
   */
  function discMargin(o, x, y, diameter) {
    return signedDistance(o, x, y) - diameter / 2;
  }

  /**
   * Distance from the outline to a disc's nearest point outside it; negative where cut through or enclosed.
   *
   * @param {Outline} o
   * @param {number} x
   * @param {number} y
   * @param {number} diameter
   * @returns {number}
   */
  function discGap(o, x, y, diameter) {
    return -signedDistance(o, x, y) - diameter / 2;
  }

  /**
   * Distance from the outline to the centre of the anal verge; negative inside.
   *
   * @param {Outline} o
   * @returns {number}
   */
  function vergeClearance(o) {
    return -signedDistance(o, 0, 0);
  }

  /**
   * Lowest and highest level at which the midline lies inside; null where the widest level does not reach it.
   *
   * @param {Outline} o
   * @returns {Point | null}
   */
  function midlineCovered(o) {
    return covers(o, o.widest_level) ? [lastCovered(o, o.caudal_apex), lastCovered(o, o.cranial_apex)] : null;
  }

  /**
   * @param {Outline} o
   * @param {number} y
   * @returns {boolean}
   */
  function covers(o, y) {
    return edgeX(o, "medial", y) < 0 && edgeX(o, "lateral", y) > 0;
  }

  /**
   * The level nearest the apex that is still covered, walking from the widest level.
   *
   * @param {Outline} o
   * @param {number} apex
   * @returns {number}
   */
  function lastCovered(o, apex) {
    const step = (apex - o.widest_level) / (LEVELS - 1);
    let inner = o.widest_level;
    for (let i = 1; i < LEVELS; i += 1) {
      let outer = o.widest_level + i * step;
      if (covers(o, outer)) {
        inner = outer;
        continue;
      }
      while (Math.abs(outer - inner) > PRECISION) {
        const middle = (inner + outer) / 2;
        if (covers(o, middle)) inner = middle;
        else outer = middle;
      }
      return inner;
    }
    return apex;
  }

  Offmidline.margin = Object.freeze({
    nearestPoint, signedDistance, discMargin, discGap, vergeClearance, midlineCovered,
  });
})();
