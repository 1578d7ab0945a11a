// @ts-check
/**
 * The marking of least excised area that satisfies a technique, or why there is none: the arithmetic of
 * geometry/fit.py, one reach at a time, and of infeasible.py, where the reasons for each step stand. Lengths in mm,
 * angles in radians, frame as in outline.js.
 */
(() => {
  "use strict";
  const { make, discGap, discMargin } = Offmidline.outline;
  const { stitchesNeeded } = Offmidline.section;
  const GRID = 33;
  const FINE_GRID = 129;
  const REFINEMENTS = 3;
  const NEWTON_STEPS = 4;
  const ROOT_STEPS = 60;
  const LENGTH_TOLERANCE = 1e-7;
  const VERGE_SAMPLES = 129;
  const LONGEST_HALF_LENGTH = 500;
  const SHORTFALL = 0.01; // to which nearest misses are told
  const TOUCH = 1e-6;
  const SIGNS = [-1, 1]; // medial, lateral

  /**
   * An outline with its widest level at 0.
   * @param {Om.Demands} demands @param {number} reach @param {number} a half-length
   */
  function shapeOf({ offset, caudal_shift }, reach, a) {
    const h = offset + reach;
    const radius = (a ** 2 + h ** 2) / (2 * h);
    return { offset, h, a, radius, alpha: 2 * Math.atan(h / a), bend: caudal_shift * (radius / a) ** 2 };
  }

  /**
   * How far lateral of x the centre of a touching disc lies, and the derivative by the cosine.
   * @param {Om.Shape} shape @param {number} sign @param {number} cosine @param {Om.Disc} disc
   */
  function offside({ offset, h, radius: size, bend }, sign, cosine, { x, radius }) {
    const square = 1 - cosine * cosine;
    const lean = 2 * bend * cosine - sign * size;
    const speed = Math.sqrt(square * lean * lean + (size * cosine) ** 2);
    const gain = (size * size - lean * lean) * cosine + 2 * bend * square * lean;
    const edge = offset + bend * square + sign * (h - size * (1 - cosine));
    const across = (sign * radius * size) / speed;
    const slope = sign * size - 2 * bend * cosine - across * (1 - (cosine * gain) / (speed * speed));
    return { away: edge - across * cosine - x, slope };
  }

  /**
   * How far below the widest level a disc's centre lies when it touches an edge from inside; Infinity where it passes
   * the apex without touching.
   * @param {Om.Shape} shape @param {number} sign @param {Om.Disc} disc
   */
  function contactDepth(shape, sign, disc) {
    const { offset, h, radius: size, alpha, bend } = shape;
    const rest = offset + bend + sign * (h - size) - (disc.x + sign * disc.radius);
    const least = Math.cos(alpha);
    if (sign * offside(shape, sign, least, disc).away > 0) return Infinity;
    let cosine = (-2 * sign * rest) / (size + Math.sqrt(Math.max(0, size ** 2 + 4 * bend * rest)));
    for (let step = 0; step < NEWTON_STEPS; step += 1) {
      cosine = Math.min(1, Math.max(least, cosine));
      const { away, slope } = offside(shape, sign, cosine, disc);
      if (slope !== 0) cosine -= away / slope;
    }
    cosine = Math.min(1, Math.max(least, cosine));
    const sine = -Math.sqrt(1 - cosine * cosine);
    const lean = 2 * bend * cosine - sign * size;
    return -sine * (size + (sign * disc.radius * lean) / Math.sqrt((sine * lean) ** 2 + (size * cosine) ** 2));
  }

  /** How far above the widest level a disc's centre may lie. @param {Om.Shape} shape @param {Om.Disc} disc */
  function cranialPlay({ offset, h, radius: size }, { x, radius }) {
    const away = Math.max(Math.abs(x - offset + h - size), Math.abs(x - offset - h + size));
    return Math.sqrt(Math.max(0, (size - radius) ** 2 - away ** 2));
  }

  /** Lowest and highest widest level that covers every disc. @param {Om.Disc[]} discs @param {Om.Shape} shape */
  function commonInterval(discs, shape) {
    let low = -Infinity;
    let high = Infinity;
    for (const disc of discs) {
      const depth = Math.min(contactDepth(shape, -1, disc), contactDepth(shape, 1, disc), shape.a - disc.radius);
      low = Math.max(low, disc.y - cranialPlay(shape, disc));
      high = Math.min(high, disc.y + depth);
    }
    return { low, high };
  }

  /** Greatest value, between samples by the parabola through the top three. @param {number[]} values */
  function peak(values) {
    const top = Math.max(...values);
    const index = values.indexOf(top);
    const [before, after] = [values[index - 1] ?? -Infinity, values[index + 1] ?? -Infinity];
    const curvature = before - 2 * top + after;
    return Number.isFinite(curvature) && curvature < 0 ? top - (after - before) ** 2 / curvature / 8 : top;
  }

  /** @param {number} from @param {number} to @param {number} count */
  function spaced(from, to, count) {
    return Array.from({ length: count }, (_, n) => from + ((to - from) * n) / (count - 1));
  }

  /**
   * A function of x and y at points of a caudal edge, from the widest level to the apex.
   * @param {Om.Shape} shape @param {number} sign @param {(x: number, y: number) => number} value
   */
  function along({ offset, h, radius, alpha, bend }, sign, value) {
    const values = new Array(VERGE_SAMPLES);
    for (let n = 0; n < VERGE_SAMPLES; n += 1) {
      const phi = (-alpha * n) / (VERGE_SAMPLES - 1);
      const sine = Math.sin(phi);
      values[n] = value(offset + bend * sine * sine + sign * (h - radius * (1 - Math.cos(phi))), radius * sine);
    }
    return values;
  }

  /**
   * Lowest widest level that keeps the verge clearance and the lowest apex.
   * @param {Om.Demands} demands @param {Om.Shape} shape
   */
  function lowestPosition({ lowest_apex, verge_clearance }, shape) {
    /** @param {number} x @param {number} y */
    const needed = (x, y) => {
      const square = verge_clearance ** 2 - x * x;
      return square >= 0 ? Math.sqrt(square) - y : -Infinity;
    };
    return Math.max(lowest_apex + shape.a, ...SIGNS.map((sign) => peak(along(shape, sign, needed))));
  }

  /**
   * Root of a rising function (regula falsi, Illinois variant); where both ends have the same sign, the nearer end.
   * @param {(value: number) => number} rising @param {number} low @param {number} high
   */
  function root(rising, low, high) {
    let [below, above] = [rising(low), rising(high)];
    if (!(below < 0 && above >= 0)) return Math.abs(below) <= Math.abs(above) ? low : high;
    let [middle, value, last] = [high, above, 0];
    for (let step = 0; step < ROOT_STEPS; step += 1) {
      if (Math.abs(value) < LENGTH_TOLERANCE || high - low < LENGTH_TOLERANCE) break;
      middle = high - (above * (high - low)) / (above - below);
      value = rising(middle);
      const under = value < 0;
      // An end that stays put twice in a row is given half its weight, so that it moves.
      if (under && last < 0) above /= 2;
      if (!under && last > 0) below /= 2;
      last = under ? -1 : 1;
      if (under) [low, below] = [middle, value];
      else [high, above] = [middle, value];
    }
    return Math.abs(value) < LENGTH_TOLERANCE ? middle : high;
  }

  /**
   * Least half-length at which all discs can be covered and length to width holds; Infinity where none is.
   * @param {Om.Disc[]} discs @param {Om.Demands} demands @param {number} reach
   */
  function leastHalfLength(discs, demands, reach) {
    const floor = shortest(demands, reach);
    /** @param {number} a */
    const slack = (a) => {
      const { low, high } = commonInterval(discs, shapeOf(demands, reach, a));
      return high - low;
    };
    if (slack(floor) >= 0) return floor;
    let ceiling = Math.max(floor, 1);
    while (slack(ceiling) < 0) {
      if (ceiling >= LONGEST_HALF_LENGTH) return Infinity;
      ceiling *= 1.5;
    }
    return root(slack, ceiling / 1.5, ceiling);
  }

  /** The half-length that length to width asks for. @param {Om.Demands} demands @param {number} reach */
  function shortest(demands, reach) {
    return demands.length_to_width * (demands.offset + reach);
  }

  /**
   * The least marking for a reach; its area is infinite where there is none.
   * @param {Om.Disc[]} discs @param {Om.Demands} demands @param {number} reach
   */
  function rowOf(discs, demands, reach) {
    const halfLength = leastHalfLength(discs, demands, reach);
    if (halfLength === Infinity) return { reach, halfLength, widest: NaN, area: Infinity };
    const shape = shapeOf(demands, reach, halfLength);
    const covers = commonInterval(discs, shape);
    const { high } = covers;
    const low = Math.max(covers.low, lowestPosition(demands, shape));
    const area = 2 * shape.radius ** 2 * (shape.alpha - Math.sin(shape.alpha) * Math.cos(shape.alpha));
    return { reach, halfLength, widest: (low + high) / 2, area: low <= high + TOUCH ? area : Infinity };
  }

  /** @param {Om.LeastRow} row @param {Om.Demands} demands */
  function outlineOf({ reach, halfLength, widest }, { offset, caudal_shift }) {
    return make({
      offset,
      caudal_shift,
      half_width: offset + reach,
      cranial_apex: widest + halfLength,
      caudal_apex: widest - halfLength,
    });
  }

  /**
   * Reaches at which every disc fits between the edges at the widest level.
   * @param {Om.Disc[]} discs @param {Om.Demands} demands
   */
  function reachRange(discs, { offset, least_reach, greatest_reach }) {
    const medial = discs.map(({ x, radius }) => radius - x);
    const lateral = discs.map(({ x, radius }) => radius + x - 2 * offset);
    return [Math.max(least_reach, ...medial, ...lateral), greatest_reach];
  }

  /**
   * The outline of least area that contains every disc and meets the demands, or null.
   * @param {Om.Disc[]} discs @param {Om.Demands} demands
   */
  function fit(discs, demands) {
    let [low, high] = reachRange(discs, demands);
    if (low > high) return null;
    const least = rowOf(discs, demands, low);
    if (least.halfLength === shortest(demands, low) && least.area < Infinity) return outlineOf(least, demands);
    /** @type {Om.LeastRow | null} */
    let best = null;
    for (let round = 0; round <= REFINEMENTS; round += 1) {
      const rows = spaced(low, high, GRID).map((reach) => rowOf(discs, demands, reach));
      const found = rows.reduce((least, row) => (row.area < least.area ? row : least));
      if (found.area === Infinity) break;
      best = found;
      const step = (high - low) / (GRID - 1);
      [low, high] = [Math.max(low, best.reach - step), Math.min(high, best.reach + step)];
    }
    return best && outlineOf(best, demands);
  }

  /**
   * Whether any outline contains every disc and meets the demands.
   * @param {Om.Disc[]} discs @param {Om.Demands} demands
   */
  function feasible(discs, demands) {
    const [low, high] = reachRange(discs, demands);
    return low <= high && spaced(low, high, FINE_GRID).some((reach) => rowOf(discs, demands, reach).area < Infinity);
  }

  /**
   * The greatest verge clearance and the highest caudal apex of any marking that covers the discs, verge and lowest
   * apex aside; -Infinity where nothing covers them.
   * @param {Om.Disc[]} discs @param {Om.Demands} demands
   */
  function best(discs, demands) {
    const [low, high] = reachRange(discs, demands);
    const found = { clearance: -Infinity, apex: -Infinity };
    for (const reach of spaced(low, Math.max(low, high), FINE_GRID)) {
      const halfLength = leastHalfLength(discs, demands, reach);
      if (halfLength === Infinity) continue;
      const shape = shapeOf(demands, reach, halfLength);
      const highest = commonInterval(discs, shape).high;
      const distances = SIGNS.flatMap((sign) => along(shape, sign, (x, y) => Math.hypot(x, highest + y)));
      found.clearance = Math.max(found.clearance, Math.min(...distances));
      found.apex = Math.max(found.apex, highest - halfLength);
    }
    return found;
  }

  /** What the technique asks of every fitted outline. @param {Om.Unfitted} asked */
  function demandsOf({ settings, greatest_reach }) {
    const { offset, caudal_shift, reach, length_to_width, verge_clearance, lowest_apex } = settings;
    const asked = { offset, caudal_shift, length_to_width, verge_clearance, lowest_apex };
    return { ...asked, least_reach: reach, greatest_reach };
  }

  /** The pits with their outline. @param {Om.Unfitted} asked */
  function pitDiscs({ findings, settings }) {
    return findings.pits.map(({ at, diameter }) => ({ x: 0, y: at, radius: diameter / 2 + settings.pit_margin }));
  }

  /** Some of the openings with their outline. @param {Om.Unfitted} asked @param {number[]} indices */
  function openingDiscs({ findings, settings, side }, indices) {
    return indices.map((index) => {
      const opening = findings.openings[index];
      return { x: openingX(opening, side), y: opening.at, radius: opening.diameter / 2 + settings.opening_margin };
    });
  }

  /** @type {Om.Scripts["fit"]["openingX"]} */
  function openingX({ lateral, side: found }, side) {
    return found === side ? lateral : -lateral;
  }

  /**
   * Openings whose rim lies within a distance of the outline, or inside it.
   * @param {Om.Unfitted} asked @param {Om.Outline} outline @param {number} distance
   */
  function nearOpenings({ findings, side }, outline, distance) {
    return findings.openings.flatMap((opening, index) => {
      const gap = discGap(outline, openingX(opening, side), opening.at, opening.diameter);
      return gap <= distance ? [index] : [];
    });
  }

  /** @type {Om.Scripts["fit"]["fitCase"]} */
  function fitCase(asked) {
    const demands = demandsOf(asked);
    const pits = pitDiscs(asked);
    const pits_only = fit(pits, demands);
    if (!pits_only) return { outline: null, pits_only: null, excised_openings: [] };
    let excised_openings = nearOpenings(asked, pits_only, asked.settings.near_opening);
    for (;;) {
      const discs = openingDiscs(asked, excised_openings);
      const covered = discs.every(({ x, y, radius }) => discMargin(pits_only, x, y, 2 * radius) >= 0);
      const outline = covered ? pits_only : fit([...pits, ...discs], demands);
      if (!outline) return { outline, pits_only, excised_openings };
      const reached = new Set([...excised_openings, ...nearOpenings(asked, outline, 0)]);
      if (reached.size === excised_openings.length) return { outline, pits_only, excised_openings };
      excised_openings = [...reached].sort((one, other) => one - other);
    }
  }

  /** @type {Om.Scripts["fit"]["rightMarking"]} */
  function rightMarking(asked, { outline, excised_openings } = fitCase(asked)) {
    if (!outline) return null;
    const { settings, findings, side } = asked;
    const depth = Math.min(findings.cavity_depth + settings.clearance_below_cavity, findings.fascia_depth);
    const { offset, caudal_shift, half_width, cranial_apex, caudal_apex, medial_edge } = outline;
    return {
      side,
      outline: { offset, caudal_shift, half_width, cranial_apex, caudal_apex },
      excised_openings,
      depth,
      lateral_cut_deg: settings.lateral_cut_deg,
      medial_cut_deg: settings.medial_cut_deg,
      flap_thickness: Math.min(settings.flap_thickness, depth),
      undermining: settings.undermining,
      deep_stitches: stitchesNeeded(medial_edge, settings.deep_spacing),
      superficial_stitches: stitchesNeeded(medial_edge, settings.superficial_spacing),
    };
  }

  /** @type {Om.Scripts["fit"]["explain"]} */
  function explain(asked, { pits_only, excised_openings }) {
    const { settings } = asked;
    const demands = demandsOf(asked);
    const pits = pitDiscs(asked);
    const openings = openingDiscs(asked, excised_openings);
    const [name, relaxed, kept] = pits_only ? ["opening_margin", openings, pits] : ["pit_margin", pits, []];
    /** @type {Om.Conflict[]} */
    const found = [];

    // Beyond this shortfall even a pit at the verge is outside every outline that keeps its distance.
    const radii = relaxed.map((disc) => disc.radius);
    const most = 2 * (demands.verge_clearance + demands.offset) + Math.max(...radii);
    const margin = least((shortfall) => {
      const shrunk = relaxed.map((disc) => ({ ...disc, radius: disc.radius - shortfall }));
      return feasible([...shrunk, ...kept], demands);
    }, most);
    const lowest = Math.min(...relaxed.map((disc) => disc.y));
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
   * @param {(shortfall: number) => boolean} possible @param {number} most
   */
  function least(possible, most) {
    if (!possible(most)) return null;
    let [low, high] = [0, most];
    while (high - low > SHORTFALL) {
      const middle = (low + high) / 2;
      if (possible(middle)) high = middle;
      else low = middle;
    }
    return high;
  }

  Offmidline.fit = Object.freeze({ fitCase, rightMarking, explain, openingX });
})();
