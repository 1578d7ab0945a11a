// @ts-check
/**
 * A drawing to scale that can be worked on: millimetres inside, with symbols, text and handles that keep their size
 * on the screen. A handle follows a finger or a mouse, the arrow keys, or two taps: one on the handle, one on its aim.
 */
(() => {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";
  const STEP = 1; // mm or degrees an arrow key moves
  const BIG_STEP = 5; // with Shift
  const GRIP = 15; // px, half of a handle's target: more than WCAG 2.2 asks
  const LINE = 16; // px from line to line of a name
  const ASIDE = 4; // px between a name and the edge of the drawing
  const PIXEL = 0.34; // mm that a pixel takes until the size on the screen is known
  const STILL = 4; // px a pointer may stray and still have tapped
  /** @type {Record<string, Om.Point>} Ways of the arrow keys: to the right and up. */
  const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

  /** @type {Om.Scripts["scene"]["svg"]} */
  function svg(name, attributes = {}, ...inside) {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
    made.append(...inside);
    return made;
  }

  /** @type {Om.Scripts["scene"]["path"]} */
  function path(points, closed = false) {
    const steps = points.map(([x, y]) => `${x.toFixed(2)} ${(-y).toFixed(2)}`);
    return `M${steps.join("L")}${closed ? "Z" : ""}`;
  }

  /** @type {Om.Scripts["scene"]["open"]} */
  function open(field) {
    const wide = field.right - field.left;
    const root = /** @type {SVGSVGElement} */ (
      svg("svg", { class: "om-scene", viewBox: `${field.left} ${-field.top} ${wide} ${field.top - field.bottom}` })
    );
    /** @type {Set<Om.Handle>} */
    const handles = new Set();
    /** @type {Om.Handle | null} */
    let selected = null;
    /** @type {(() => void)[]} */
    const watchers = [];
    /** @type {Om.Grip["move"][]} */
    const tappers = [];
    /** @type {Om.Grip["move"] | null} */
    let aim = null;
    let pixel = PIXEL;

    /** @param {string} name */
    function layer(name) {
      const made = svg("g", { class: `om-scene-${name}` });
      root.append(made);
      return made;
    }

    /** @type {Om.Scene["pinned"]} */
    function pinned(at, attributes, ...inside) {
      const made = svg("g", { ...attributes, "data-at": at.join(" ") }, ...inside);
      pin(made);
      return made;
    }

    /** @param {Element} one */
    function pin(one) {
      const [x, y] = (one.getAttribute("data-at") || "").split(" ").map(Number);
      one.setAttribute("transform", `translate(${x.toFixed(2)} ${(-y).toFixed(2)}) scale(${pixel.toFixed(4)})`);
    }

    /** @type {Om.Scene["text"]} */
    function text(at, words, kind, { anchor = "start", beside = [0, 0] } = {}) {
      const [x, y] = beside;
      return pinned(at, { class: kind }, svg("text", { x, y, "text-anchor": anchor }, words));
    }

    /** @param {MouseEvent} event @returns {Om.Point} */
    function place(event) {
      const matrix = root.getScreenCTM();
      if (!matrix) return [0, 0];
      const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
      return [x, -y];
    }

    /** Whether a pointer is not on a handle. @param {Element} grip @param {PointerEvent} event */
    function missed(grip, event) {
      const [x, y] = place(event);
      const [across, level] = (grip.getAttribute("data-at") || "").split(" ").map(Number);
      return Math.hypot(x - across, y - level) > GRIP * pixel;
    }

    function fit() {
      const width = root.clientWidth || root.getBoundingClientRect().width;
      if (!width || Math.abs(wide / width - pixel) < 1e-4) return;
      pixel = wide / width;
      for (const one of root.querySelectorAll("[data-at]")) pin(one);
      for (const one of handles) one.place();
      for (const watch of watchers) watch();
    }

    /** @type {Om.Scene["handle"]} */
    function handle(grip, into) {
      const { begin = () => {}, end = () => {} } = grip;
      // What it is, and under it where it is.
      const names = [svg("text", { class: "om-grip-name" }), svg("text", { class: "om-grip-name om-grip-where" })];
      const name = svg("g", { "aria-hidden": "true" }, ...names);
      const element = /** @type {SVGGElement} */ (
        pinned(
          grip.at(),
          { class: `om-grip om-grip-${grip.ways || "xy"} ${grip.kind || ""}`, tabindex: 0, role: "button" },
          svg("circle", { class: "om-grip-target", r: GRIP }),
          svg("circle", { class: "om-grip-mark", r: 10 }),
          svg("path", { class: "om-grip-ways", d: arrows(grip.ways || "xy") }),
          name
        )
      );
      /** @type {{x: number, y: number, by: Om.Point, moved: boolean} | null} */
      let drag = null;
      /** @type {Om.Handle} */
      const made = { element, place: put, select };

      function put() {
        const [x, y] = grip.at();
        element.setAttribute("data-at", `${x} ${y}`);
        pin(element);
        const words = grip.name();
        element.setAttribute("aria-label", words);
        const [, what, where] = words.match(/^(.*?)(?:, (.*))?$/) || ["", words, ""];
        // The name stands over the handle, where no finger hides it, and is moved as far as the drawing's edge asks.
        const top = y > field.top - 4 * GRIP * pixel ? 2.1 * GRIP : -1.4 * GRIP - LINE;
        for (const [line, text] of [what, where].entries()) {
          const one = /** @type {SVGTextElement} */ (names[line]);
          one.textContent = text || "";
          const long = one.getComputedTextLength();
          const [first, last] = [(field.left - x) / pixel + ASIDE, (field.right - x) / pixel - ASIDE - long];
          one.setAttribute("x", Math.max(first, Math.min(last, -long / 2)).toFixed(1));
          one.setAttribute("y", String(top + line * LINE));
        }
      }

      /** @param {boolean} on */
      function select(on) {
        if (on && selected && selected !== made) selected.select(false);
        selected = on ? made : selected === made ? null : selected;
        aim = on ? aimed : selected ? aim : null;
        element.setAttribute("aria-pressed", String(on));
        if (on || document.activeElement === element) say();
        root.classList.toggle("om-scene-aiming", Boolean(selected));
      }

      function say() {
        if (grip.say) grip.say(grip.name(), selected === made);
      }

      /** @param {Om.Point} to */
      function aimed(to) {
        begin();
        grip.move(to);
        end();
        select(false);
        element.focus({ preventScroll: true });
      }

      element.addEventListener("pointerdown", (event) => {
        if (event.button || (aim && missed(element, event))) return;
        element.setPointerCapture(event.pointerId);
        element.focus({ preventScroll: true });
        const [x, y] = place(event);
        const [at, level] = grip.at();
        drag = { x: event.clientX, y: event.clientY, by: [at - x, level - y], moved: false };
      });
      element.addEventListener("pointermove", (event) => {
        if (!drag) return;
        if (!drag.moved && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < STILL) return;
        if (!drag.moved) begin();
        drag.moved = true;
        const [x, y] = place(event);
        grip.move([x + drag.by[0], y + drag.by[1]]);
      });
      for (const last of ["pointerup", "pointercancel"]) {
        element.addEventListener(last, () => {
          if (!drag) return;
          if (drag.moved) end();
          else if (last === "pointerup") select(element.getAttribute("aria-pressed") !== "true");
          drag = null;
        });
      }
      // No style keeps a browser from scrolling when a finger moves on a part of a drawing.
      element.addEventListener("touchstart", (event) => event.cancelable && event.preventDefault(), { passive: false });
      // A click by a screen reader has no pointer before it.
      element.addEventListener("click", (event) => {
        if (event.detail === 0) select(element.getAttribute("aria-pressed") !== "true");
      });
      element.addEventListener("keydown", (event) => {
        const way = KEYS[event.key];
        if (event.ctrlKey || event.metaKey || event.altKey) return;
        if (way) {
          const size = event.shiftKey ? BIG_STEP : STEP;
          begin();
          grip.step(way[0] * size, way[1] * size);
          end();
          say();
        } else if (event.key === "Enter" || event.key === " ") {
          select(element.getAttribute("aria-pressed") !== "true");
        } else if (event.key === "Escape" && selected === made) {
          select(false);
        } else if (!grip.key || !grip.key(event.key)) return;
        event.preventDefault();
      });
      element.setAttribute("aria-pressed", "false");
      handles.add(made);
      into.append(element);
      put();
      return made;
    }

    // A click would not do, nor the target alone: a browser may move both to a handle near a finger.
    /** @type {PointerEvent | null} */
    let down = null;
    root.addEventListener("pointerdown", (event) => {
      const grip = event.target instanceof Element && event.target.closest(".om-grip");
      down = (!grip || (aim && missed(grip, event))) && !event.button ? event : null;
    });
    root.addEventListener("pointerup", (event) => {
      const still = down && Math.hypot(event.clientX - down.clientX, event.clientY - down.clientY) < STILL;
      down = null;
      if (!still) return;
      if (aim) aim(place(event));
      else for (const tap of tappers) tap(place(event));
    });
    if (window.ResizeObserver) new ResizeObserver(fit).observe(root);

    return Object.freeze({
      root,
      layer,
      pinned,
      text,
      handle,
      pixel: () => pixel,
      onScale: (/** @type {() => void} */ watch) => void watchers.push(watch),
      onTap: (/** @type {Om.Grip["move"]} */ tap) => void tappers.push(tap),
      placeHandles: () => handles.forEach((one) => one.place()),
    });
  }

  /** Small arrows for the ways that a handle can go. @param {string} ways */
  function arrows(ways) {
    const across = "M-3.5 -2.5L-6 0L-3.5 2.5M3.5 -2.5L6 0L3.5 2.5";
    const along = "M-2.5 -3.5L0 -6L2.5 -3.5M-2.5 3.5L0 6L2.5 3.5";
    return ways === "x" ? across : ways === "y" ? along : across + along;
  }

  Offmidline.scene = Object.freeze({ open, svg, path });
})();
