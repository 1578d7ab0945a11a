// @ts-check
/**
 * The plan view that exercises are marked on: findings and markings to scale over a grid in millimetres, prone, seen
 * from above, head up, the patient's left on the left.
 *
 * Places on the board are [mm to the patient's right, level in mm]; a marking keeps its own frame, whose x is positive
 * towards its side. Nothing is computed here: outlines come from the engine.
 */
(() => {
  "use strict";
  const { dom, scene } = Offmidline;
  const { shown } = Offmidline.number;
  const words = dom.data("om-exercise-words").board;
  const { svg, path } = scene;
  const GRID = 10; // mm
  const NUMBERED = 20; // mm between lines of the grid that carry a number
  const BOLD = 50; // mm between its stronger lines
  const EDGE = { left: 15, right: 4, top: 12, bottom: 9 }; // mm round the grid, for the rulers and names
  const LEAST = { half: 50, high: 150, low: -20 }; // mm that the grid shows whatever was found
  const ROOM = { beside: 10, above: 20 }; // mm that it shows beyond what was found
  const RING = 96; // points of each edge of a drawn outline
  const LEAST_PIT = 3.5; // px of radius: small findings stay visible
  const LEAST_OPENING = 7;

  /** @type {Om.Scripts["board"]["sign"]} */
  const sign = (side) => (side === "left" ? -1 : 1);

  /** @type {Om.Scripts["board"]["letter"]} */
  const letter = (index) => String.fromCharCode(65 + index);

  /** @type {Om.Scripts["board"]["field"]} */
  function field(findings, ...markings) {
    let { half, high, low } = LEAST;
    /** @param {number} beside @param {number} level */
    function hold(beside, level) {
      half = Math.max(half, Math.abs(beside) + ROOM.beside);
      high = Math.max(high, level + ROOM.above);
      low = Math.min(low, level - ROOM.beside);
    }
    for (const pit of findings.pits) hold(0, pit.at);
    for (const one of findings.openings) hold(one.lateral + one.diameter / 2, one.at);
    for (const marking of markings) {
      const outline = marking && Offmidline.outline.make(marking.outline);
      if (outline) for (const [x, y] of Offmidline.outline.ring(outline, GRID)) hold(x, y);
    }
    /** @param {number} value */
    const whole = (value) => Math.ceil(value / GRID) * GRID;
    half = whole(half);
    return { left: -half, right: half, top: whole(high), bottom: -whole(-low) };
  }

  /** An empty board over a part of the skin; what is drawn on it is replaced whole. @param {Om.Field} inner */
  function empty(inner) {
    const drawn = scene.open({
      left: inner.left - EDGE.left,
      right: inner.right + EDGE.right,
      top: inner.top + EDGE.top,
      bottom: inner.bottom - EDGE.bottom,
    });
    drawn.root.classList.add("om-board-drawing");
    const [ground, under, marks, found] = ["ground", "under", "marks", "found"].map(drawn.layer);
    for (const layer of [ground, under, marks, found]) layer.setAttribute("aria-hidden", "true");
    const { left, right, top, bottom } = inner;

    /** The first numbered line of the grid, so that the midline and the verge are 0. @param {number} from */
    const first = (from) => Math.ceil(from / NUMBERED) * NUMBERED;

    function grid() {
      /** @type {string[]} */
      const fine = [];
      /** @type {string[]} */
      const bold = [];
      for (let x = left; x <= right; x += GRID) (x % BOLD ? fine : bold).push(path([[x, bottom], [x, top]]));
      for (let y = bottom; y <= top; y += GRID) (y % BOLD ? fine : bold).push(path([[left, y], [right, y]]));
      ground.append(
        svg("rect", { class: "om-board-skin", x: left, y: -top, width: right - left, height: top - bottom }),
        svg("path", { class: "om-board-grid", d: fine.join("") }),
        svg("path", { class: "om-board-grid om-board-grid-bold", d: bold.join("") }),
        svg("path", { class: "om-board-midline", d: path([[0, bottom], [0, top + 4]]) })
      );
      for (let y = first(bottom); y <= top; y += NUMBERED) {
        ground.append(drawn.text([left, y], shown(y), "om-board-ruler", { anchor: "end", beside: [-5, 4] }));
      }
      for (let x = first(left); x <= right; x += NUMBERED) {
        const how = { anchor: "middle", beside: /** @type {Om.Point} */ ([0, 16]) };
        ground.append(drawn.text([x, bottom], shown(Math.abs(x)), "om-board-ruler", how));
      }
      ground.append(
        drawn.text([left, top], words.left, "om-board-side", { anchor: "start", beside: [7, 22] }),
        drawn.text([right, top], words.right, "om-board-side", { anchor: "end", beside: [-7, 22] }),
        drawn.text([left, top], words.unit, "om-board-ruler", { anchor: "end", beside: [-5, -9] }),
        drawn.pinned(
          [0, 0], { class: "om-board-verge" }, svg("ellipse", { rx: 10, ry: 14 }), svg("path", { d: folds() })
        ),
        drawn.text([0, 0], words.verge, "om-board-note", { anchor: "start", beside: [16, 4] })
      );
    }

    /** @param {Om.Point} at @param {number} diameter @param {number} least px @param {string} kind */
    function finding(at, diameter, least, kind) {
      const mark = drawn.pinned(at, { class: kind });
      const circle = svg("circle", {});
      mark.append(circle);
      const size = () => circle.setAttribute("r", Math.max(diameter / 2 / drawn.pixel(), least).toFixed(1));
      size();
      sized.push(size);
      found.append(mark);
      return mark;
    }

    /** @type {(() => void)[]} */
    let sized = [];
    drawn.onScale(() => sized.forEach((size) => size()));

    /** @param {Om.Findings} findings @param {readonly number[]} ticked indices of the openings that are to be taken */
    function findings(findings, ticked) {
      found.replaceChildren();
      sized = [];
      for (const [index, pit] of findings.pits.entries()) {
        const mark = finding([0, pit.at], pit.diameter, LEAST_PIT, "om-board-pit");
        mark.append(svg("text", { x: -9, y: 4, "text-anchor": "end" }, String(index + 1)));
      }
      for (const [index, one] of findings.openings.entries()) {
        const at = /** @type {Om.Point} */ ([sign(one.side) * one.lateral, one.at]);
        const taken = ticked.includes(index);
        const kind = taken ? "om-board-opening om-board-taken" : "om-board-opening";
        const mark = finding(at, one.diameter, LEAST_OPENING, kind);
        if (taken) mark.append(svg("path", { d: "M-3.5 -3.5L3.5 3.5M-3.5 3.5L3.5 -3.5" }));
        const out = 15 + Math.max(0, one.diameter / 2 / drawn.pixel() - LEAST_OPENING);
        const x = sign(one.side) * out;
        mark.append(svg("text", { x, y: 5, "text-anchor": x < 0 ? "end" : "start" }, letter(index)));
      }
    }

    /**
     * Draws a marking: its outline, its new midline and, on demand, its predicted scar.
     * @param {Om.Drawn | null} marking @param {"own" | "right" | "still"} kind
     */
    function marking(marking, kind) {
      const layer = kind === "right" ? under : marks;
      layer.replaceChildren();
      if (!marking) return;
      const way = sign(marking.side);
      const { offset, cranial_apex: high, caudal_apex: low } = marking.outline;
      const outline = Offmidline.outline.make(marking.outline);
      const mirrored = (/** @type {readonly number[]} */ [x, y]) => [way * x, y];
      if (outline) {
        const ring = Offmidline.outline.ring(outline, RING).map(mirrored);
        layer.append(svg("path", { class: `om-board-outline om-board-${kind}`, d: path(ring, true) }));
        const axis = Array.from({ length: RING + 1 }, (_, at) => low + ((high - low) * at) / RING);
        const scar = axis.map((y) => mirrored([Offmidline.outline.axis(outline, y), y]));
        layer.append(svg("path", { class: `om-board-axis om-board-${kind}`, d: path(scar) }));
      }
      if (kind === "right") return;
      const line = /** @type {Om.Point[]} */ ([[way * offset, bottom], [way * offset, top + 4]]);
      layer.append(svg("path", { class: "om-board-newline", d: path(line) }));
    }

    /** Names of the lines above the grid, turned away from each other. @param {number | null} at of the new midline */
    function names(at) {
      marks.querySelectorAll(".om-board-name").forEach((one) => one.remove());
      const turned = at !== null && at < 0;
      /** @param {number} x @param {string} text @param {boolean} back */
      const put = (x, text, back) => {
        const how = { anchor: back ? "end" : "start", beside: /** @type {Om.Point} */ ([back ? -4 : 4, -9]) };
        return drawn.text([x, top], text, "om-board-name", how);
      };
      marks.append(put(0, words.midline, !turned));
      if (at !== null) marks.append(put(at, words.new_midline, turned));
    }

    grid();
    return { drawn, marks, findings, marking, names };
  }

  /** Short folds that run into the verge, in pixels. */
  function folds() {
    return Array.from({ length: 10 }, (_, at) => {
      const angle = ((at + 0.5) * Math.PI) / 5;
      const [x, y] = [10 * Math.cos(angle), 14 * Math.sin(angle)];
      return `M${(x * 0.35).toFixed(1)} ${(y * 0.35).toFixed(1)}L${(x * 0.8).toFixed(1)} ${(y * 0.8).toFixed(1)}`;
    }).join("");
  }

  /** @type {Om.Scripts["board"]["open"]} */
  function open(exercise, host, how = {}) {
    const inner = how.field || field(exercise.findings, exercise.right);
    const board = empty(inner);
    const root = board.drawn.root;
    root.setAttribute("role", "group");
    root.setAttribute("aria-label", how.label || words.label);
    host.append(root);
    const grips = board.drawn.layer("grips");

    /** @type {Om.Board["draw"]} */
    function draw({ findings = exercise.findings, marking = null, right = null, ticked = [] }) {
      board.marking(right, "right");
      board.marking(marking, "own");
      board.findings(findings, ticked);
      board.names(marking && sign(marking.side) * marking.outline.offset);
      board.drawn.placeHandles();
    }

    draw({});
    return Object.freeze({
      field: inner,
      draw,
      handle: (/** @type {Om.Grip} */ grip) => board.drawn.handle(grip, grips),
      onTap: board.drawn.onTap,
    });
  }

  /** What the signs of the key look like, in a box of 32 by 16 pixels. @type {Record<string, () => SVGElement[]>} */
  const SIGNS = {
    pit: () => [svg("g", { class: "om-board-pit" }, svg("circle", { cx: 16, cy: 8, r: 4 }))],
    opening: () => [svg("g", { class: "om-board-opening" }, svg("circle", { cx: 16, cy: 8, r: 6 }))],
    taken: () => [
      svg("g", { class: "om-board-opening om-board-taken" },
        svg("circle", { cx: 16, cy: 8, r: 6.5 }), svg("path", { d: "M12.5 4.5L19.5 11.5M12.5 11.5L19.5 4.5" })),
    ],
    own: () => [svg("path", { class: "om-board-outline om-board-own", d: "M1 8H31" })],
    scar: () => [svg("path", { class: "om-board-axis om-board-own", d: "M1 8H31" })],
    right_marking: () => [svg("path", { class: "om-board-outline om-board-right", d: "M1 8H31" })],
  };

  /** @type {Om.Scripts["board"]["key"]} */
  function key(told, names) {
    const list = dom.element("ul", "om-board-key");
    list.setAttribute("aria-label", words.key);
    for (const name of names) {
      const sign = svg("svg", { viewBox: "0 0 32 16", width: 32, height: 16, "aria-hidden": "true" }, ...SIGNS[name]());
      list.append(dom.element("li", `om-board-key-${name}`, sign, told[name]));
    }
    return list;
  }

  let pictures = 0;

  /** @type {Om.Scripts["board"]["picture"]} */
  function picture(exercise, marking, { title, description }) {
    const board = empty(field(exercise.findings, marking));
    const { root } = board.drawn;
    const name = `om-picture-${(pictures += 1)}`;
    board.marking(marking, "still");
    board.findings(exercise.findings, (marking && marking.excised_openings) || []);
    board.names(marking && sign(marking.side) * marking.outline.offset);
    root.prepend(svg("title", { id: `${name}-t` }, title), svg("desc", { id: `${name}-d` }, description));
    root.setAttribute("role", "img");
    root.setAttribute("aria-labelledby", `${name}-t ${name}-d`);
    return root;
  }

  Offmidline.board = Object.freeze({ open, picture, key, field, sign, letter });
})();
