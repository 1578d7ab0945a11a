// @ts-check
/**
 * The marked outline: two circular arcs on an axis that bends away from the midline caudally; how far points and discs
 * lie from it, positive inside; and the midline that it takes.
 *
 * The same arithmetic and names as geometry/outline.py, margin.py and coverage.py, one number at a time. Lengths in
 * mm; x positive towards the side of the marking, y cranial of the anal verge; phi from -alpha (caudal apex) to alpha.
 */
(() => {
  "use strict";
  /** @type {Record<Om.Edge, -1 | 1>} The medial edge lies on the midline's side of the axis. */
  const SIGN = { medial: -1, lateral: 1 };
  const EDGES = /** @type {Om.Edge[]} */ (["medial", "lateral"]);
  const ROUNDING = 1e-9; // an outline as long as it is wide must not fall to the last digit
  const SAMPLES = 65;
  const NEWTON_STEPS = 5;
  const LEVELS = 257;
  const PRECISION = 1e-9; // to which levels are told
  const [NODES, WEIGHTS] = gaussLegendre(48);

  /**
   * Nodes and weights of the Gauss-Legendre rule on -1 to 1, by Newton's method on the polynomial.
   * @param {number} count
   */
  function gaussLegendre(count) {
    /** @type {number[]} */
    const nodes = [];
    /** @type {number[]} */
    const weights = [];
    for (let i = 0; i < count; i += 1) {
      let x = Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
      let slope = 1;
      for (let step = 0; step < 6; step += 1) {
        let [before, value] = [1, x];
        for (let n = 2; n <= count; n += 1) [before, value] = [value, ((2 * n - 1) * x * value - (n - 1) * before) / n];
        slope = (count * (x * value - before)) / (x * x - 1);
        x -= value / slope;
      }
      nodes.push(x);
      weights.push(2 / ((1 - x * x) * slope * slope));
    }
    return [nodes, weights];
  }

  /** @param {number} radians */
  function degrees(radians) {
    return (radians * 180) / Math.PI;
  }

  /** @type {Om.Scripts["outline"]["make"]} */
  function make({ offset, caudal_shift, half_width, cranial_apex, caudal_apex }) {
    const lines = { offset, caudal_shift, half_width, cranial_apex, caudal_apex };
    const length = cranial_apex - caudal_apex;
    const width = 2 * half_width;
    const sound = Object.values(lines).every(Number.isFinite);
    if (!sound || half_width <= 0 || length < width * (1 - ROUNDING)) return null;
    const half_length = length / 2;
    const radius = (half_length * half_length + half_width * half_width) / width;
    const alpha = 2 * Math.atan(half_width / half_length);
    const widest_level = (cranial_apex + caudal_apex) / 2;
    const arcs = { ...lines, half_length, radius, alpha, widest_level };
    const [medial_edge, lateral_edge] = [edgeLength(arcs, "medial"), edgeLength(arcs, "lateral")];
    const perimeter = medial_edge + lateral_edge;
    const lean = (2 * caudal_shift) / half_length; // the axis's slope at the caudal apex
    const slope = alpha < Math.PI / 2 ? Math.tan(alpha) : Infinity;
    return Object.freeze({
      ...arcs,
      reach: half_width - offset,
      length,
      width,
      length_to_width: length / width,
      area_mm2: 2 * radius * radius * (alpha - Math.sin(alpha) * Math.cos(alpha)),
      cranial_point: /** @type {Om.Point} */ ([offset, cranial_apex]),
      caudal_point: /** @type {Om.Point} */ ([offset + caudal_shift, caudal_apex]),
      medial_edge,
      lateral_edge,
      perimeter,
      edge_mismatch_percent: (Math.abs(medial_edge - lateral_edge) / Math.max(medial_edge, lateral_edge)) * 100,
      scar_length: perimeter / 2,
      axis_slope_at_caudal_apex: lean,
      cranial_angle_deg: degrees(2 * alpha),
      caudal_angle_deg: degrees(Math.atan(slope - lean) + Math.atan(slope + lean)),
      scar_angle_deg: degrees(Math.atan(lean)),
      passes_verge_at: offset + caudal_shift + lean * caudal_apex,
      scar_nearest_midline: offset + Math.min(0, caudal_shift),
    });
  }

  /** @type {Om.Scripts["outline"]["axis"]} */
  function axis(o, y) {
    const u = Math.max(0, o.widest_level - y) / o.half_length;
    return o.offset + o.caudal_shift * u * u;
  }

  /** @type {Om.Scripts["outline"]["halfWidthAt"]} */
  function halfWidthAt(o, y) {
    const v = y - o.widest_level;
    if (!(Math.abs(v) < o.half_length)) return 0;
    const { radius } = o;
    return Math.max(0, Math.sqrt(Math.max(0, radius * radius - v * v)) - (radius - o.half_width));
  }

  /** @type {Om.Scripts["outline"]["edgeX"]} */
  function edgeX(o, edge, y) {
    return axis(o, y) + SIGN[edge] * halfWidthAt(o, y);
  }

  /** @type {Om.Scripts["outline"]["edgePoint"]} */
  function edgePoint(o, edge, phi) {
    const { radius } = o;
    const run = radius * Math.sin(phi);
    const u = Math.min(0, run) / o.half_length;
    const profile = radius * Math.cos(phi) - (radius - o.half_width);
    return [o.offset + o.caudal_shift * u * u + SIGN[edge] * profile, o.widest_level + run];
  }

  /** Derivative of edgePoint by phi, mm per radian. @param {Om.Arcs} o @param {Om.Edge} edge @param {number} phi */
  function edgeTangent(o, edge, phi) {
    const { radius } = o;
    const [sine, cosine] = [Math.sin(phi), Math.cos(phi)];
    const bend = phi < 0 ? 2 * o.caudal_shift * (radius / o.half_length) ** 2 * sine * cosine : 0;
    return [bend - SIGN[edge] * radius * sine, radius * cosine];
  }

  /** @type {Om.Scripts["outline"]["ring"]} */
  function ring(o, count = 256) {
    const phi = Array.from({ length: count }, (_, i) => o.alpha * ((2 * i) / count - 1));
    return [...phi.map((at) => edgePoint(o, "lateral", at)), ...phi.map((at) => edgePoint(o, "medial", -at))];
  }

  /**
   * Length of an edge, its halves apart: the bend starts at phi = 0 with a jump of curvature.
   * @param {Om.Arcs} o @param {Om.Edge} edge
   */
  function edgeLength(o, edge) {
    const half = o.alpha / 2;
    /** @type {(phi: number) => number} */
    const speed = (phi) => Math.hypot(...edgeTangent(o, edge, phi));
    /** @type {(middle: number) => number} */
    const piece = (middle) => half * NODES.reduce((sum, node, i) => sum + WEIGHTS[i] * speed(middle + half * node), 0);
    return piece(-half) + piece(half);
  }

  /** @param {number} value @param {number} low @param {number} high */
  function clip(value, low, high) {
    return Math.min(Math.max(value, low), high);
  }

  /** @type {Om.Scripts["outline"]["nearestPoint"]} */
  function nearestPoint(o, x, y) {
    /** @type {Om.Point} */
    let best = [0, 0];
    let least = Infinity;
    for (const edge of EDGES) {
      for (const phi of [...onCranialArc(o, SIGN[edge], x, y), ...onCaudalHalf(o, edge, x, y)]) {
        const point = edgePoint(o, edge, phi);
        const distance = Math.hypot(point[0] - x, point[1] - y);
        if (distance < least) [best, least] = [point, distance];
      }
    }
    return best;
  }

  /**
   * phi of the perpendicular's foot on the arc, and of the arc's two ends.
   * @param {Om.Outline} o @param {number} sign @param {number} x @param {number} y
   */
  function onCranialArc(o, sign, x, y) {
    const centre = o.offset + sign * (o.half_width - o.radius);
    const phi = Math.atan2(y - o.widest_level, sign * (x - centre));
    return [clip(phi, 0, o.alpha), 0, o.alpha];
  }

  /**
   * phi of the nearest sample, and what Newton's method makes of it.
   * @param {Om.Outline} o @param {Om.Edge} edge @param {number} x @param {number} y
   */
  function onCaudalHalf(o, edge, x, y) {
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
      const ddx = turn * Math.cos(2 * phi) - SIGN[edge] * radius * Math.cos(phi);
      const slope = (px - x) * dx + (py - y) * dy;
      const bend = dx * dx + dy * dy + (px - x) * ddx - (py - y) * radius * Math.sin(phi);
      if (bend > 0) phi = clip(phi - slope / bend, sample(best - 1), sample(best + 1));
    }
    return [sample(best), phi];
  }

  /** @type {Om.Scripts["outline"]["signedDistance"]} */
  function signedDistance(o, x, y) {
    const [px, py] = nearestPoint(o, x, y);
    const distance = Math.hypot(px - x, py - y);
    const level = y > o.caudal_apex && y < o.cranial_apex;
    return level && x > edgeX(o, "medial", y) && x < edgeX(o, "lateral", y) ? distance : -distance;
  }

  /** @type {Om.Scripts["outline"]["discMargin"]} */
  function discMargin(o, x, y, diameter) {
    return signedDistance(o, x, y) - diameter / 2;
  }

  /** @type {Om.Scripts["outline"]["discGap"]} */
  function discGap(o, x, y, diameter) {
    return -signedDistance(o, x, y) - diameter / 2;
  }

  /** @type {Om.Scripts["outline"]["vergeClearance"]} */
  function vergeClearance(o) {
    return -signedDistance(o, 0, 0);
  }

  /** @type {Om.Scripts["outline"]["midlineCovered"]} */
  function midlineCovered(o) {
    return covers(o, o.widest_level) ? [lastCovered(o, o.caudal_apex), lastCovered(o, o.cranial_apex)] : null;
  }

  /** @param {Om.Outline} o @param {number} y */
  function covers(o, y) {
    return edgeX(o, "medial", y) < 0 && edgeX(o, "lateral", y) > 0;
  }

  /**
   * The level nearest the apex that is still covered, walking from the widest level.
   * @param {Om.Outline} o @param {number} apex
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

  Offmidline.outline = Object.freeze({
    make, axis, halfWidthAt, edgeX, edgePoint, ring,
    nearestPoint, signedDistance, discMargin, discGap, vergeClearance, midlineCovered,
  });
})();
