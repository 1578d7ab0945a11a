// @ts-check
/** The exercise of cutting the wound in section, on an outline that is marked right. */
(() => {
  "use strict";
  const { answer, board, dom, history, number, outline, scene, section, task } = Offmidline;
  const { data, filled, status } = dom;
  const { shown, amount } = number;
  const { svg, path } = scene;
  const UPRIGHT = 90; // degrees to the skin
  const START_PART = 0.5; // of the cavity's depth, and of the wound's: plainly too little
  const START_FREE = 6; // mm of undermining, which keeps the handles apart
  const ROOM = { medial: 18, lateral: 9, above: 9, below: 9 }; // mm drawn round the wound and its flap

  const host = /** @type {HTMLElement | null} */ (document.querySelector(".om-exercise[data-task=section]"));
  /** @type {Om.Exercise} */
  const exercise = data("om-exercise");
  if (!host) return;
  const words = data("om-exercise-words");
  const { ranges } = words;
  const { cavity_depth: cavity, fascia_depth: fascia } = exercise.findings;
  const { right } = exercise;
  const way = board.sign(right.side);
  const marked = /** @type {Om.Outline} */ (outline.make(right.outline));
  const [medial, lateral] = [marked.offset - marked.half_width, marked.offset + marked.half_width];
  const names = ["depth", "medial_cut_deg", "lateral_cut_deg", "flap_thickness", "undermining", "deep_stitches"];

  /** Half way between the flattest cut and the vertical one. @param {string} name */
  const leaning = (name) => Math.round((ranges[name][0] + UPRIGHT) / 2);
  const depth = Math.max(1, Math.round(cavity * START_PART));
  const held = history.keep({
    depth,
    medial_cut_deg: leaning("medial_cut_deg"),
    lateral_cut_deg: leaning("lateral_cut_deg"),
    flap_thickness: Math.max(1, Math.round(depth * START_PART)),
    undermining: START_FREE,
    deep_stitches: 1,
  });
  const { state } = held;
  const said = status("p", "om-exercise-said");

  const freed = right.undermining + ROOM.medial;
  const ends = [way * (medial - freed), way * (lateral + ROOM.lateral)].sort((a, b) => a - b);
  const deepest = Math.max(fascia, right.depth) + ROOM.below;
  const drawn = scene.open({ left: ends[0], right: ends[1], top: ROOM.above, bottom: -deepest });
  const { root } = drawn;
  root.classList.add("om-section-drawing");
  root.setAttribute("role", "group");
  root.setAttribute("aria-label", words.section_drawing.label);
  const [ground, under, own] = ["ground", "under", "own"].map(drawn.layer);
  for (const layer of [ground, under, own]) layer.setAttribute("aria-hidden", "true");
  const grips = drawn.layer("grips");

  /** A place of the plan, in depth, on the drawing. @param {readonly number[]} at @returns {[number, number]} */
  const put = ([x, z]) => [way * x, -z];

  function drawGround() {
    const told = words.section_drawing;
    const [left, end] = ends;
    const wide = end - left;
    const rule = Array.from({ length: Math.floor(deepest / 5) + 1 }, (_, at) => at * 5);
    const centre = [3 - ROOM.above, deepest].map((z) => put([marked.offset, z]));
    const far = way > 0 ? end : left; // the lateral end
    const back = way > 0 ? "end" : "start";
    ground.append(
      svg("rect", { class: "om-section-fat", x: left, y: 0, width: wide, height: fascia }),
      svg("rect", { class: "om-section-muscle", x: left, y: fascia, width: wide, height: deepest - fascia }),
      svg("ellipse", { class: "om-section-cavity", cx: 0, cy: cavity / 2, rx: cavity / 2, ry: cavity / 2 }),
      svg("path", { class: "om-board-grid", d: rule.map((z) => path([[left, -z], [end, -z]])).join("") }),
      svg("path", { class: "om-section-skin", d: path([[left, 0], [end, 0]]) }),
      svg("path", { class: "om-section-fascia", d: path([[left, -fascia], [end, -fascia]]) }),
      svg("path", { class: "om-board-midline", d: path([[0, ROOM.above - 3], [0, -deepest]]) }),
      svg("path", { class: "om-board-newline", d: path(centre) }),
      drawn.text([far, -fascia], told.fascia, "om-board-note", { anchor: back, beside: [-4 * way, 14] }),
      drawn.text([far, 0], told.skin, "om-board-note", { anchor: back, beside: [-4 * way, -5] }),
      drawn.text([0, ROOM.above], told.midline, "om-board-name", { anchor: back, beside: [-4 * way, 11] }),
      drawn.text([way * marked.offset, ROOM.above], told.new_midline, "om-board-name", {
        anchor: way > 0 ? "start" : "end", beside: [4 * way, 11],
      })
    );
    for (const z of rule.filter((z) => z % 10 === 0 && z < deepest - 2)) {
      const how = { anchor: way > 0 ? "start" : "end", beside: /** @type {[number, number]} */ ([3 * way, 4]) };
      if (z) ground.append(drawn.text([way > 0 ? left : end, -z], amount(z, "mm"), "om-board-ruler", how));
    }
  }

  /** @param {any} marking @param {"own" | "right"} kind */
  function drawCut(marking, kind) {
    const layer = kind === "own" ? own : under;
    layer.replaceChildren();
    const cut = section.trough(marking);
    if (!cut) return;
    const { medial: near, lateral: far } = section.walls(cut, medial, lateral);
    const ring = [...near, ...[...far].reverse()].map(put);
    layer.append(svg("path", { class: `om-board-outline om-board-${kind}`, d: path(ring, true) }));
    const inner = medial - marking.undermining;
    const thick = marking.flap_thickness;
    const raised = [[medial, 0], [medial, thick], [inner, thick], [inner, 0]].map(put);
    if (kind === "own") layer.append(svg("path", { class: "om-section-raised", d: path(raised, true) }));
    layer.append(svg("path", { class: `om-section-flap om-board-${kind}`, d: path(raised.slice(1, 3)) }));
  }

  /** @param {Partial<Record<keyof ReturnType<typeof state>, number>>} change */
  function set(change) {
    held.set(Object.fromEntries(Object.entries(change).map(([name, value]) => [name, task.within(name, value)])));
  }

  /** Where the walls and the floor are held: the lower end of each wall, and between them. */
  function floor() {
    const cut = /** @type {Om.Trough} */ (section.trough({ ...right, ...state() }));
    const { medial: near, lateral: far } = section.walls(cut, medial, lateral);
    const [one, other] = [near[near.length - 1], far[far.length - 1]];
    return { one, other };
  }

  /** Degrees of a wall from its skin edge through a point. @param {number} run inwards @param {number} z */
  const angle = (run, z) => (Math.atan2(Math.max(z, 1), run) * 180) / Math.PI;

  /** A wall is held at its lower end. @param {"medial_cut_deg" | "lateral_cut_deg"} name @returns {Om.Grip} */
  function wall(name) {
    const [edge, inwards] = name === "medial_cut_deg" ? [medial, 1] : [lateral, -1];
    return {
      ways: "x",
      at: () => put(floor()[name === "medial_cut_deg" ? "one" : "other"]),
      name: () => filled(words.grips[name], { angle: shown(state()[name]) }),
      move: ([x, y]) => set({ [name]: angle(inwards * (way * x - edge), -y) }),
      step: (across) => set({ [name]: state()[name] - inwards * way * across }),
    };
  }

  /** @type {Om.Grip[]} */
  const moved = [
    {
      ways: "y",
      at: () => {
        const { one, other } = floor();
        return put([(one[0] + other[0]) / 2, one[1]]);
      },
      name: () => filled(words.grips.depth, { depth: shown(state().depth) }),
      move: ([, y]) => set({ depth: Math.min(-y, deepest) }),
      step: (_, up) => set({ depth: state().depth - up }),
    },
    wall("medial_cut_deg"),
    wall("lateral_cut_deg"),
    {
      ways: "xy",
      at: () => put([medial - state().undermining, state().flap_thickness]),
      name: () => {
        const { flap_thickness: thick, undermining } = state();
        return filled(words.grips.recess, { thickness: shown(thick), undermining: shown(undermining) });
      },
      move: ([x, y]) =>
        set({ undermining: Math.min(medial - way * x, freed), flap_thickness: Math.min(-y, deepest) }),
      step: (across, up) =>
        set({ undermining: state().undermining - way * across, flap_thickness: state().flap_thickness - up }),
    },
  ];
  for (const grip of moved) drawn.handle({ ...grip, begin: held.begin, end: held.end, say: task.say(said) }, grips);
  drawGround();

  task.open(
    host,
    {
      name: "section",
      exercise,
      fields: names.map((name) => {
        const unit = name === "deep_stitches" ? "count" : name.endsWith("_deg") ? "deg" : "mm";
        return { key: name, unit };
      }),
      drawing: [root, board.key(words.section_drawing, ["own", "right_marking"])],
      before: [],
      draw(now, shows) {
        drawCut(shows ? right : {}, "right");
        drawCut({ ...right, ...now }, "own");
        drawn.placeHandles();
      },
      measures(now) {
        const cut = section.trough({ ...right, ...now });
        if (!cut) return words.no_section;
        const told = words.measures;
        const spacing = section.rowSpacing(marked.medial_edge, now.deep_stitches);
        return [
          [told.depth, amount(now.depth, "mm")],
          [told.base_width, amount(section.baseWidth(cut, marked.width), "mm")],
          [told.undermining, amount(now.undermining, "mm")],
          [told.deep_gap, amount(section.deepGap(marked, now), "mm")],
          [told.deep_spacing, amount(spacing, "mm")],
        ];
      },
      missing: () => "",
      judge: (now) => answer.judge(exercise, { ...right, ...now }, answer.SECTION_RULES),
      remark: () => "",
    },
    held,
    said
  );
})();
