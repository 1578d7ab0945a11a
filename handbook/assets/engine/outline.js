// @ts-check
/**
 * The marked outline: two circular arcs on an axis that bends away from the midline caudally.
 *
 * The same arithmetic and names as geometry/outline.py, one number at a time. Lengths in mm; x positive towards the
 * side of the marking, y cranial of the anal verge; phi runs from -alpha (caudal apex) to alpha (cranial apex).
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});

  /** @typedef {"medial" | "lateral"} Edge */
  /** @typedef {[number, number]} Point */
  /**
   * @typedef {{offset: number, caudal_shift: number, half_width: number, cranial_apex: number,
   *   caudal_apex: number}} Lines
   */

  /** @type {Record<Edge, number>} The medial edge lies on the midline's side of the axis. */
  const SIGN = { medial: -1, lateral: 1 };
  const ROUNDING = 1e-9; // an outline as long as it is wide must not fall to the last digit
  const [NODES, WEIGHTS] = gaussLegendre(48);

  /**
   * Nodes and weights of the Gauss-Legendre rule on -1 to 1, by Newton's method on the polynomial.
   *
   * @param {number} count
   * @returns {[number[], number[]]}
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

  class Outline {
    /** @param {Lines} lines */
    constructor({ offset, caudal_shift, half_width, cranial_apex, caudal_apex }) {
      this.offset = offset;
      this.caudal_shift = caudal_shift;
      this.half_width = half_width;
      this.cranial_apex = cranial_apex;
      this.caudal_apex = caudal_apex;
      Object.freeze(this);
    }

    get reach() {
      return this.half_width - this.offset;
    }
    get length() {
      return this.cranial_apex - this.caudal_apex;
    }
    get half_length() {
      return this.length / 2;
    }
    get width() {
      return 2 * this.half_width;
    }
    get widest_level() {
      return (this.cranial_apex + this.caudal_apex) / 2;
    }
    get radius() {
      const [a, h] = [this.half_length, this.half_width];
      return (a * a + h * h) / (2 * h);
    }
    get alpha() {
      return 2 * Math.atan(this.half_width / this.half_length);
    }
    get length_to_width() {
      return this.length / this.width;
    }
    get area_mm2() {
      const { alpha, radius } = this;
      return 2 * radius * radius * (alpha - Math.sin(alpha) * Math.cos(alpha));
    }
    /** @returns {Point} */
    get cranial_point() {
      return [this.offset, this.cranial_apex];
    }
    /** @returns {Point} */
    get caudal_point() {
      return [this.offset + this.caudal_shift, this.caudal_apex];
    }
    get medial_edge() {
      return edgeLength(this, "medial");
    }
    get lateral_edge() {
      return edgeLength(this, "lateral");
    }
    get perimeter() {
      return this.medial_edge + this.lateral_edge;
    }
    get edge_mismatch_percent() {
      const [medial, lateral] = [this.medial_edge, this.lateral_edge];
      return (Math.abs(medial - lateral) / Math.max(medial, lateral)) * 100;
    }
    get scar_length() {
      return this.perimeter / 2;
    }
    get axis_slope_at_caudal_apex() {
      return (2 * this.caudal_shift) / this.half_length;
    }
    get cranial_angle_deg() {
      return degrees(2 * this.alpha);
    }
    get caudal_angle_deg() {
      const lean = this.axis_slope_at_caudal_apex;
      const slope = this.alpha < Math.PI / 2 ? Math.tan(this.alpha) : Infinity;
      return degrees(Math.atan(slope - lean) + Math.atan(slope + lean));
    }
    get scar_angle_deg() {
      return degrees(Math.atan(this.axis_slope_at_caudal_apex));
    }
    get passes_verge_at() {
      return this.offset + this.caudal_shift + this.axis_slope_at_caudal_apex * this.caudal_apex;
    }
    get scar_nearest_midline() {
      return this.offset + Math.min(0, this.caudal_shift);
    }
  }

  /**
   * @param {number} radians
   * @returns {number}
   */
  function degrees(radians) {
    return (radians * 180) / Math.PI;
  }

  /**
   * The outline of these lines; null where they enclose none: no finite numbers, no width, wider than long.
   *
   * @param {Lines} lines
   * @returns {Readonly<Outline> | null}
   */
  function make(lines) {
    const made = new Outline(lines);
    const { offset, caudal_shift, half_width, cranial_apex, caudal_apex } = made;
    const sound = [offset, caudal_shift, half_width, cranial_apex, caudal_apex].every(Number.isFinite);
    return sound && half_width > 0 && made.length >= made.width * (1 - ROUNDING) ? made : null;
  }

  /**
   * x of the axis (predicted scar) at level y.
   *
   * @param {Outline} o
   * @param {number} y
   * @returns {number}
   */
  function axis(o, y) {
    const u = Math.max(0, o.widest_level - y) / o.half_length;
    return o.offset + o.caudal_shift * u * u;
  }

  /**
   * Distance from the axis to either edge at level y; 0 beyond the apexes.
   *
   * @param {Outline} o
   * @param {number} y
   * @returns {number}
   */
  function halfWidthAt(o, y) {
    const v = y - o.widest_level;
    if (!(Math.abs(v) < o.half_length)) return 0;
    const { radius } = o;
    return Math.max(0, Math.sqrt(Math.max(0, radius * radius - v * v)) - (radius - o.half_width));
  }

  /**
   * x of an edge at level y.
   *
   * @param {Outline} o
   * @param {Edge} edge
   * @param {number} y
   * @returns {number}
   */
  function edgeX(o, edge, y) {
    return axis(o, y) + SIGN[edge] * halfWidthAt(o, y);
  }

  /**
   * The point of an edge at the parameter phi (radians).
   *
   * @param {Outline} o
   * @param {Edge} edge
   * @param {number} phi
   * @returns {Point}
   */
  function edgePoint(o, edge, phi) {
    const { radius } = o;
    const run = radius * Math.sin(phi);
    const u = Math.min(0, run) / o.half_length;
    const profile = radius * Math.cos(phi) - (radius - o.half_width);
    return [o.offset + o.caudal_shift * u * u + SIGN[edge] * profile, o.widest_level + run];
  }

  /**
   * Derivative of edgePoint by phi, mm per radian, pointing cranially.
   *
   * @param {Outline} o
   * @param {Edge} edge
   * @param {number} phi
   * @returns {Point}
   */
  function edgeTangent(o, edge, phi) {
    const { radius } = o;
    const [sine, cosine] = [Math.sin(phi), Math.cos(phi)];
    const bend = phi < 0 ? 2 * o.caudal_shift * (radius / o.half_length) ** 2 * sine * cosine : 0;
    return [bend - SIGN[edge] * radius * sine, radius * cosine];
  }

  /**
   * The closed outline as 2 * count points from the caudal apex up the lateral edge and down the medial one.
   *
   * @param {Outline} o
   * @param {number} [count]
   * @returns {Point[]}
   */
  function ring(o, count = 256) {
    const phi = Array.from({ length: count }, (_, i) => o.alpha * ((2 * i) / count - 1));
    return [...phi.map((at) => edgePoint(o, "lateral", at)), ...phi.map((at) => edgePoint(o, "medial", -at))];
  }

  /**
   * Length of an edge, its halves apart: the bend starts at phi = 0 with a jump of curvature.
   *
   * @param {Outline} o
   * @param {Edge} edge
   * @returns {number}
   */
  function edgeLength(o, edge) {
    const half = o.alpha / 2;
    /** @type {(phi: number) => number} */
    const speed = (phi) => Math.hypot(...edgeTangent(o, edge, phi));
    /** @type {(middle: number) => number} */
    const piece = (middle) => half * NODES.reduce((sum, node, i) => sum + WEIGHTS[i] * speed(middle + half * node), 0);
    return piece(-half) + piece(half);
  }

  Offmidline.outline = Object.freeze({ make, axis, halfWidthAt, edgeX, edgePoint, edgeTangent, ring });
})();
