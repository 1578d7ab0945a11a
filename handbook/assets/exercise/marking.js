// @ts-check
/** The exercise of marking a case on the skin. */
(() => {
  "use strict";
  const { answer, board, dom, history, number, outline, task } = Offmidline;
  const { data, element, filled, status, choice } = dom;
  const { shown, amount } = number;
  const { within } = task;
  // mm that the first outline reaches beyond the pits, and how many times its length is its half-width: plainly too
  // short, and in the midline.
  const START_BEYOND = 15;
  const START_SHAPE = 4;
  const TOP = 6; // mm below the upper edge of the board where the new midline is held

  const host = /** @type {HTMLElement | null} */ (document.querySelector(".om-exercise[data-task=marking]"));
  /** @type {Om.Exercise} */
  const exercise = data("om-exercise");
  if (!host) return;
  const words = data("om-exercise-words");
  const { pits, openings } = exercise.findings;

  /** @returns {Om.Marked} */
  function start() {
    const levels = pits.map((pit) => pit.at);
    const high = Math.round(Math.max(...levels) + START_BEYOND);
    const low = Math.round(Math.min(...levels) - START_BEYOND);
    const reach = Math.round((high - low) / START_SHAPE);
    return { side: null, offset: 0, caudal_shift: 0, reach, cranial_apex: high, caudal_apex: low, ticked: [] };
  }

  const held = history.keep(start());
  const { state } = held;
  const said = status("p", "om-exercise-said");

  /**
   * The marking that a state stands for; one without a side is drawn to the right.
   * @param {Om.Marked} from @returns {Om.Marking}
   */
  function markingOf({ side, offset, caudal_shift, reach, cranial_apex, caudal_apex, ticked }) {
    const half_width = offset + reach;
    const lines = { offset, caudal_shift, half_width, cranial_apex, caudal_apex };
    return { ...exercise.right, side: side || "right", outline: lines, excised_openings: ticked };
  }

  const key = board.key(words.board, [
    "pit", ...(openings.length ? ["opening", "taken"] : []), "own", "scar", "right_marking",
  ]);
  const place = element("div", "om-exercise-drawing");
  const drawn = board.open(exercise, place);
  const way = () => board.sign(state().side || "right");
  const middle = () => (state().cranial_apex + state().caudal_apex) / 2;

  /** @param {number} level @param {string} name */
  function onBoard(level, name) {
    return within(name, Math.min(drawn.field.top, Math.max(drawn.field.bottom, level)));
  }

  /** The whole outline goes with the new midline, to the other side as well. @param {number} x to the right */
  function centre(x) {
    const { offset: before, reach, side: old } = state();
    const side = x === 0 ? old : x < 0 ? "left" : "right";
    const offset = within("offset", Math.abs(x));
    held.set({ side, offset, reach: within("reach", reach + before - offset) });
  }

  /** @type {Om.Grip[]} */
  const grips = [
    {
      ways: "x",
      at: () => [way() * state().offset, drawn.field.top - TOP],
      name: () => {
        const { side, offset } = state();
        return filled(words.grips.offset, { side: side ? words.sides[side] : words.no_side, offset: shown(offset) });
      },
      move: ([x]) => centre(Math.round(x)),
      step: (right) => centre(way() * state().offset + right),
    },
    {
      ways: "y",
      at: () => [way() * state().offset, state().cranial_apex],
      name: () => filled(words.grips.cranial_apex, { level: shown(state().cranial_apex) }),
      move: ([, y]) => held.set({ cranial_apex: onBoard(y, "cranial_apex") }),
      step: (_, up) => held.set({ cranial_apex: onBoard(state().cranial_apex + up, "cranial_apex") }),
    },
    {
      ways: "x",
      at: () => [-way() * state().reach, middle()],
      name: () => filled(words.grips.reach, { reach: shown(state().reach) }),
      move: ([x]) => held.set({ reach: within("reach", -way() * x) }),
      step: (right) => held.set({ reach: within("reach", state().reach - way() * right) }),
    },
    {
      ways: "xy",
      at: () => [way() * (state().offset + state().caudal_shift), state().caudal_apex],
      name: () => {
        const { offset, caudal_shift, caudal_apex } = state();
        return filled(words.grips.caudal_apex, { level: shown(caudal_apex), lateral: shown(offset + caudal_shift) });
      },
      move: ([x, y]) =>
        held.set({
          caudal_shift: within("caudal_shift", way() * x - state().offset),
          caudal_apex: onBoard(y, "caudal_apex"),
        }),
      step: (right, up) =>
        held.set({
          caudal_shift: within("caudal_shift", state().caudal_shift + way() * right),
          caudal_apex: onBoard(state().caudal_apex + up, "caudal_apex"),
        }),
    },
  ];
  for (const grip of grips) drawn.handle({ ...grip, begin: held.begin, end: held.end, say: task.say(said) });

  /** @param {string} label @param {Partial<HTMLInputElement>} made @param {() => void} change */
  function changing(label, made, change) {
    const { input, label: whole } = choice(label, made);
    input.addEventListener("change", change);
    return { input, label: whole };
  }

  /** @param {string} legend @param {Element[]} inside */
  function group(legend, ...inside) {
    return element("fieldset", "om-form-group om-form-beside", element("legend", "om-form-label", legend), ...inside);
  }

  const sides = /** @type {Om.Side[]} */ (["left", "right"]).map((side) => ({
    side,
    ...changing(words[`side_${side}`], { type: "radio", name: "marking-side" }, () => held.step({ side })),
  }));
  /** @type {ReturnType<typeof changing>[]} */
  const ticks = openings.map((one, index) => {
    const at = { at: amount(one.at, "mm"), lateral: amount(one.lateral, "mm"), side: words.sides[one.side] };
    return changing(filled(words.opening, { letter: board.letter(index), ...at }), { type: "checkbox" }, () => {
      const others = state().ticked.filter((other) => other !== index);
      held.step({ ticked: ticks[index].input.checked ? [...others, index].sort((a, b) => a - b) : others });
    });
  });

  /** @param {number[]} some indices of openings */
  const letters = (some) => some.map(board.letter).join(", ");

  task.open(
    host,
    {
      name: "marking",
      exercise,
      fields: ["offset", "cranial_apex", "caudal_apex", "reach", "caudal_shift"].map((name) => ({
        key: name, unit: "mm",
      })),
      drawing: [place, key],
      before: [
        group(words.side, ...sides.map((one) => one.label)),
        ticks.length
          ? group(words.openings, ...ticks.map((one) => one.label))
          : element("p", "om-form-label", words.no_openings),
      ],
      choices(now) {
        for (const one of sides) one.input.checked = now.side === one.side;
        for (const [index, one] of ticks.entries()) one.input.checked = now.ticked.includes(index);
      },
      draw(now, right) {
        drawn.draw({ marking: markingOf(now), right: right ? exercise.right : null, ticked: now.ticked });
      },
      measures(now) {
        const made = outline.make(markingOf(now).outline);
        if (!made) return words.no_outline;
        const told = words.measures;
        const listed = /** @type {const} */ (["offset", "length", "width", "reach", "caudal_shift"]);
        return listed.map((name) => [told[name], amount(made[name], "mm")]);
      },
      missing: (now) => (now.side ? "" : words.choose_side),
      judge(now) {
        const side = now.side || (exercise.side === "left" ? "right" : "left"); // not chosen is not right
        return answer.judge(exercise, { ...markingOf(now), side }, answer.SURFACE_RULES);
      },
      remark({ rule, verdict }, now) {
        if (verdict !== "not met") return "";
        const taken = exercise.right.excised_openings;
        const forgotten = taken.filter((one) => !now.ticked.includes(one));
        const chased = now.ticked.filter((one) => !taken.includes(one));
        if (rule === "near-openings-excised" && forgotten.length) {
          return filled(words.result.forgotten, { letters: letters(forgotten) });
        }
        if (rule === "distant-openings-left" && chased.length) {
          return filled(words.result.chased, { letters: letters(chased) });
        }
        return "";
      },
    },
    held,
    said
  );
})();
