// @ts-check
/**
 * The trough, in closed form, and what the closure has to bridge; mm, mm2, ml, degrees.
 *
 * The same arithmetic as geometry/section.py, geometry/walls.py and geometry/closure.py. A wall's angle is measured
 * from the skin inside the wound: 90 vertical, below 90 sloping towards the base, above 90 undercutting.
 */
(() => {
  "use strict";
  const VERTICAL_DEG = 90;
  const STRAIGHT_DEG = 180;
  const MM3_PER_ML = 1000;

  /** Width that a wall takes off per mm of depth; exactly 0 for a vertical one. @param {number} angle degrees */
  function cotangent(angle) {
    return angle === VERTICAL_DEG ? 0 : 1 / Math.tan((angle * Math.PI) / 180);
  }

  /** @type {Om.Scripts["section"]["trough"]} */
  function trough({ depth, lateral_cut_deg, medial_cut_deg }) {
    const angles = [lateral_cut_deg, medial_cut_deg];
    if (!(depth > 0 && angles.every((angle) => angle > 0 && angle < STRAIGHT_DEG))) return null;
    const taper = cotangent(lateral_cut_deg) + cotangent(medial_cut_deg);
    return Object.freeze({ depth, lateral_cut_deg, medial_cut_deg, taper });
  }

  /** @type {Om.Scripts["section"]["baseWidth"]} */
  function baseWidth(cut, width) {
    return Math.max(0, width - Math.max(cut.taper * cut.depth, -width));
  }

  /** @type {Om.Scripts["section"]["areaMm2"]} */
  function areaMm2({ taper, depth }, width) {
    if (width <= 0) return 0;
    if (width >= Math.abs(taper) * depth) return width * depth - (taper * depth * depth) / 2;
    return taper >= 0 ? (width * width) / (2 * taper) : 2 * width * depth - (width * width) / (2 * -taper);
  }

  /**
   * Depth of the deepest point under a skin width: the floor, or where the walls meet above it.
   * @param {Om.Trough} cut @param {number} width
   */
  function meetingDepth({ taper, depth }, width) {
    return taper > 0 && width < taper * depth ? width / taper : depth;
  }

  /**
   * Integrals over y between -phi and phi of 1, of the width and of its square.
   * @param {Om.Outline} o @param {number} phi
   */
  function moments(o, phi) {
    const { radius } = o;
    const sink = radius - o.half_width;
    const sine = Math.sin(phi);
    const double = phi + sine * Math.cos(phi);
    const square = radius * radius * (sine - sine ** 3 / 3) - radius * sink * double + sink * sink * sine;
    return {
      length: 2 * radius * sine,
      width: 2 * radius * (radius * double - 2 * sink * sine),
      square: 8 * radius * square,
    };
  }

  /** @type {Om.Scripts["section"]["volumeMl"]} */
  function volumeMl(o, { taper, depth }) {
    const narrow = Math.abs(taper) * depth;
    const cosine = (o.radius - o.half_width + narrow / 2) / o.radius;
    const whole = moments(o, o.alpha);
    const core = moments(o, cosine < 1 ? Math.acos(cosine) : 0);
    const square = whole.square - core.square;
    let volume = core.width * depth - ((taper * depth * depth) / 2) * core.length;
    if (taper > 0) volume += square / (2 * taper);
    else if (taper < 0) volume += 2 * depth * (whole.width - core.width) - square / (2 * -taper);
    return volume / MM3_PER_ML;
  }

  /** @type {Om.Scripts["section"]["walls"]} */
  function walls(cut, medialX, lateralX) {
    const width = lateralX - medialX;
    const bottom = meetingDepth(cut, width);
    // A widening trough goes straight down once it is twice as wide as the skin.
    const turn = cut.taper < 0 ? Math.min(bottom, width / -cut.taper) : bottom;
    const depths = turn === bottom ? [0, bottom] : [0, turn, bottom];
    /** @type {(start: number, way: number, angle: number) => Om.Point[]} */
    const wall = (start, way, angle) => depths.map((z) => [start + way * Math.min(z, turn) * cotangent(angle), z]);
    const medial = wall(medialX, 1, cut.medial_cut_deg);
    const lateral = wall(lateralX, -1, cut.lateral_cut_deg);
    const meet = bottom < cut.depth;
    return { medial, lateral: meet ? [...lateral.slice(0, -1), medial[medial.length - 1]] : lateral, meet };
  }

  /** @type {Om.Scripts["section"]["deepGap"]} */
  function deepGap(o, { depth, flap_thickness, undermining }) {
    return Math.hypot(o.half_width + undermining, depth - flap_thickness);
  }

  /** @type {Om.Scripts["section"]["stitchesNeeded"]} */
  function stitchesNeeded(length, spacing) {
    return Math.max(0, Math.ceil(length / spacing) - 1);
  }

  /** @type {Om.Scripts["section"]["rowSpacing"]} */
  function rowSpacing(length, stitches) {
    return length / (stitches + 1);
  }

  Offmidline.section = Object.freeze({
    trough, baseWidth, areaMm2, volumeMl, walls, deepGap, stitchesNeeded, rowSpacing,
  });
})();
