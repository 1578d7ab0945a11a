// @ts-check
/**
 * The sandbox: findings that are put anywhere, and the marking that the technique makes of them. Each change makes a
 * new state; everything on the page is drawn from the state.
 */
(() => {
  "use strict";
  const { dom, number, history, board: boards, fit, outline: outlines } = Offmidline;
  const { element, filled, button, status, choice } = dom;
  const { amount } = number;

  const DECIMALS = 10; // typed numbers are kept to a tenth
  const STEP = 1; // mm: findings lie on whole millimetres when they are moved by hand
  const MOST = 20; // findings of a kind, as many as the board can tell apart
  const MM2_A_CM2 = 100;

  /**
   * A copy of a state with one value changed.
   * @param {any} state @param {Om.Way} way @param {any} value
   */
  function changed(state, [key, ...rest], value) {
    const copy = Array.isArray(state) ? [...state] : { ...state };
    copy[key] = rest.length ? changed(state[key], rest, value) : value;
    return copy;
  }

  /** @param {any} state @param {Om.Way} way */
  const valueAt = (state, way) => way.reduce((value, key) => value[key], state);

  /** @param {Om.Limits} limits @param {number} value */
  const holds = ({ low, high, open }, value) => (open ? value > low : value >= low) && value <= high;

  /** The whole millimetre within the limits that lies nearest. @param {Om.Limits} limits @param {number} value */
  const nearest = ({ low, high, open }, value) => Math.min(high, Math.max(open ? low + STEP : low, Math.round(value)));

  /** @param {HTMLElement} box @param {any} data */
  function open(box, data) {
    /** @type {Record<string, any>} */
    const words = dom.data("om-exercise-words").sandbox;
    const held = history.keep(/** @type {Om.Found} */ (data.start));
    const { state, begin, end } = held;
    /** @type {{input: Element, show: () => void, bad: () => boolean}[]} */
    let fields = [];
    /** @type {Om.Board | null} */
    let board = null;
    /** @type {Om.Handle[]} */
    let grips = [];
    let shape = ""; // what the form and the handles were built for

    const news = element("span", "");
    const spoken = element("span", "om-unseen"); // seen beside the board already
    const said = status("p", "om-sandbox-said", news, " ", spoken);
    const copied = status("p", "om-sandbox-copied");
    const host = element("div", "om-sandbox-board");
    const modes = element("fieldset", "om-form-group om-form-beside", element("legend", "om-form-label", words.adds));
    const addsPits = mode(words.adds_pit, true);
    mode(words.adds_opening, false);
    const undo = button(words.undo, takeBack);
    const reset = button(words.reset, startAgain);
    const result = element("section", "om-sandbox-result");
    const form = element("form", "om-form");
    const text = element("textarea", "om-sandbox-text");
    const copy = button(words.copy, copyText);

    /** What a tap adds. @param {string} label @param {boolean} checked */
    function mode(label, checked) {
      const made = choice(label, { type: "radio", name: "sandbox-adds", checked });
      modes.append(made.label);
      return made.input;
    }

    /** @param {Om.Kind} kind @param {number} index */
    const nameOf = (kind, index) => (kind === "pits" ? String(index + 1) : boards.letter(index));
    /** @param {Om.Kind} kind @param {number} index */
    const titleOf = (kind, index) => filled(kind === "pits" ? words.pit : words.opening, { name: nameOf(kind, index) });
    /** @param {number} value */
    const mm = (value) => amount(value, "mm");

    /** One change as a step of its own. @param {Om.Found} next @param {string} [told] said before the result */
    function take(next, told = "") {
      held.step(next);
      show(told);
    }

    function takeBack() {
      shape = ""; // what was typed and could not be taken goes too
      show(held.undo() ? words.undone : words.nothing_to_undo);
    }

    function startAgain() {
      shape = "";
      held.reset();
      show(words.was_reset);
    }

    /** @param {Om.Kind} kind @param {Om.Pit | Om.Opening} finding @param {boolean} onBoard where the focus goes */
    function add(kind, finding, onBoard) {
      if (state()[kind].length >= MOST) {
        news.textContent = filled(words.full, { most: MOST });
        return;
      }
      const index = state()[kind].length;
      take(changed(state(), [kind], [...state()[kind], finding]), filled(words.added, { name: titleOf(kind, index) }));
      if (onBoard) focusOn(kind, index);
      else document.getElementById(idOf([kind, index, "at"]))?.focus();
    }

    /** @param {Om.Kind} kind @param {number} index @param {boolean} onBoard */
    function remove(kind, index, onBoard) {
      const left = state()[kind].filter((_, at) => at !== index);
      take(changed(state(), [kind], left), filled(words.removed, { name: titleOf(kind, index) }));
      if (onBoard && left.length) focusOn(kind, Math.min(index, left.length - 1));
      else document.getElementById(`sandbox-add-${kind}`)?.focus();
    }

    /** @param {Om.Kind} kind @param {number} index */
    function focusOn(kind, index) {
      grips[index + (kind === "openings" ? state().pits.length : 0)]?.element.focus({ preventScroll: true });
    }

    /** A pit, or an opening, at [mm to the right, level]. @param {Om.Kind} kind @param {[number, number]} place */
    function placed(kind, [x, level], old = /** @type {any} */ ({})) {
      const diameter = old.diameter ?? data.new[kind].diameter;
      if (kind === "pits") return { at: nearest(data.ranges.at, level), diameter };
      const side = Math.abs(x) < STEP / 2 ? old.side ?? state().side : x < 0 ? "left" : "right";
      const lateral = nearest(data.ranges.opening_lateral, Math.abs(x));
      return { at: nearest(data.ranges.opening_at, level), lateral, side, diameter };
    }

    /** A new finding cranial of all others. @param {Om.Kind} kind */
    function another(kind) {
      const { above, lateral = 0 } = data.new[kind];
      const highest = Math.max(0, ...state().pits.map(({ at }) => at), ...state()[kind].map(({ at }) => at));
      return placed(kind, [boards.sign(state().side) * lateral, highest + above]);
    }

    /** @param {Om.Kind} kind @param {number} index @returns {Om.Grip} */
    function gripOf(kind, index) {
      const pit = kind === "pits";
      /** @returns {any} */
      const finding = () => state()[kind][index];
      /** @returns {Om.Point} */
      const at = () => [pit ? 0 : boards.sign(finding().side) * finding().lateral, finding().at];
      /** @param {Om.Point} to */
      function move(to) {
        const moved = placed(kind, to, finding());
        if (Object.entries(moved).every(([key, value]) => finding()[key] === value)) return;
        held.set(changed(state(), [kind, index], moved));
        show();
      }
      return {
        kind: `om-sandbox-grip om-sandbox-grip-${kind}`,
        ways: pit ? "y" : "xy",
        at,
        move,
        name: () => filled(pit ? words.pit_grip : words.opening_grip, { ...finding(), name: nameOf(kind, index) }),
        step: (right, up) => {
          const [x, level] = at();
          const beside = x + right;
          // An opening passes the midline, where none can lie.
          move([beside === 0 ? Math.sign(right) * STEP : beside, level + up]);
        },
        say: (name, chosen) => {
          if (chosen) [news.textContent, spoken.textContent] = [filled(words.selected, { name }), ""];
        },
        begin,
        end: () => {
          end();
          show("");
        },
        key: (key) => {
          if (key !== "Delete" && key !== "Backspace") return false;
          remove(kind, index, true);
          return true;
        },
      };
    }

    /**
     * A board over all that is drawn, made anew when that outgrows it; never under a finding that is being dragged.
     * @param {(Om.Drawn | null)[]} markings @param {boolean} anew @param {boolean} moving
     */
    function prepareBoard(markings, anew, moving) {
      const field = boards.field(state(), ...markings);
      const edges = /** @type {(keyof Om.Field)[]} */ (Object.keys(field));
      const old = board;
      if (old && !anew && (moving || edges.every((edge) => old.field[edge] === field[edge]))) return old;
      const focused = grips.findIndex((grip) => grip.element === document.activeElement);
      host.replaceChildren();
      const made = boards.open({ findings: state(), side: state().side }, host, { field, label: words.board });
      made.onTap(([x, level]) => {
        if (Math.abs(x) > field.right || level > field.top || level < field.bottom) return;
        const kind = addsPits.checked ? "pits" : "openings";
        add(kind, placed(kind, [x, level]), true);
      });
      grips = /** @type {Om.Kind[]} */ (["pits", "openings"]).flatMap((kind) =>
        state()[kind].map((_, index) => made.handle(gripOf(kind, index)))
      );
      if (focused >= 0) grips[focused]?.element.focus({ preventScroll: true });
      return made;
    }

    /** @param {Om.Way} way */
    const idOf = (way) => `sandbox-${way.join("-")}`;

    /**
     * A number with its unit and its fault.
     * @param {Om.Way} way @param {string} label @param {string} name of its range
     */
    function numberField(way, label, name) {
      const limits = data.ranges[name];
      const unit = words.units[String(way[way.length - 1])];
      const made = number.field(idOf(way), label, unit, "om-form", "decimal");
      const { input } = made;
      let bad = false;
      /** @type {number | undefined} */
      let last;

      /** @param {boolean} now */
      function mark(now) {
        bad = now;
        const { low, high, open } = limits;
        const message = filled(open ? words.not_above : words.not_a_number, { low, high, unit });
        made.fault(bad ? message : "");
      }

      input.addEventListener("change", end);
      input.addEventListener("input", () => {
        const typed = number.read(input.value);
        const value = typed === null ? null : Math.round(typed * DECIMALS) / DECIMALS;
        mark(value === null || !holds(limits, value));
        if (!bad) {
          begin();
          held.set(changed(state(), way, value));
        }
        show("");
      });
      mark(false);
      fields.push({
        input,
        bad: () => bad,
        show: () => {
          const value = valueAt(state(), way);
          // What is being typed, and what is still to be mended, stays as it was typed.
          if (value !== last && document.activeElement !== input) {
            input.value = String(value);
            mark(false);
          }
          last = value;
        },
      });
      return made.line;
    }

    /** @param {Om.Way} way @param {string} label @param {string[]} values */
    function selectField(way, label, values) {
      const input = element("select", "om-form-select");
      input.id = idOf(way);
      input.append(...values.map((value) => new Option(words[value], value)));
      input.addEventListener("change", () => take(changed(state(), way, input.value)));
      const show = () => (input.value = valueAt(state(), way));
      fields.push({ input, show, bad: () => false });
      const head = element("label", "om-form-label", label);
      head.htmlFor = input.id;
      return element("div", "om-form-line", head, input);
    }

    /** @param {string} title @param {Node[]} inside */
    const group = (title, ...inside) =>
      element("fieldset", "om-form-group", element("legend", "om-form-label om-sandbox-legend", title), ...inside);

    /** @param {Om.Kind} kind @param {string} title @param {string} addLabel */
    function findingsGroup(kind, title, addLabel) {
      const rows = state()[kind].map((_, index) => {
        const beside =
          kind === "pits"
            ? []
            : [
                numberField([kind, index, "lateral"], words.lateral, "opening_lateral"),
                selectField([kind, index, "side"], words.side, ["left", "right"]),
              ];
        const name = titleOf(kind, index);
        const [of, less] = kind === "pits" ? ["", words.remove_pit] : ["opening_", words.remove_opening];
        const away = button(filled(less, { name: nameOf(kind, index) }), () => remove(kind, index, false));
        const level = numberField([kind, index, "at"], words.at, `${of}at`);
        const size = numberField([kind, index, "diameter"], words.diameter, `${of}diameter`);
        return element("div", "om-sandbox-finding", group(name, level, ...beside, size, away));
      });
      const more = button(addLabel, () => add(kind, another(kind), false));
      more.id = `sandbox-add-${kind}`;
      return group(title, element("div", "om-sandbox-findings", ...rows), more);
    }

    function buildForm() {
      fields = [];
      form.replaceChildren(
        findingsGroup("pits", words.pits, words.add_pit),
        findingsGroup("openings", words.openings, words.add_opening),
        group(
          words.depths,
          numberField(["cavity_depth"], words.cavity_depth, "cavity_depth"),
          numberField(["fascia_depth"], words.fascia_depth, "fascia_depth"),
          selectField(["side"], words.flap_side, ["left", "right"])
        ),
        group(
          words.patient,
          numberField(["patient", "age"], words.age, "age"),
          selectField(["patient", "sex"], words.sex, ["male", "female"]),
          numberField(["patient", "weight"], words.weight, "weight")
        )
      );
    }

    /** Why nothing can be fitted; "" where it can. */
    function problem() {
      if (fields.some((field) => field.bad())) return words.mend;
      if (!state().pits.length) return words.no_pit;
      for (const kind of /** @type {Om.Kind[]} */ (["pits", "openings"])) {
        /** @param {any} one */
        const key = ({ at, lateral, side }) => [at, lateral, side].join();
        const keys = state()[kind].map(key);
        const other = keys.findIndex((one, index) => keys.indexOf(one) < index);
        if (other < 0) continue;
        const one = keys.indexOf(keys[other]);
        const same = kind === "pits" ? words.same_pit : words.same_opening;
        return filled(same, { one: nameOf(kind, one), other: nameOf(kind, other) });
      }
      return state().cavity_depth > state().fascia_depth ? words.deep_cavity : "";
    }

    /** @param {Om.Outline | null} outline */
    const asMarking = (outline) => outline && { side: state().side, outline };

    /** @param {Om.Outline} outline @param {number} depth */
    function measures(outline, depth) {
      /** @param {Om.Point} point */
      const point = ([lateral, at]) => filled(words.point, { at: mm(at), lateral: mm(lateral) });
      /** @type {Record<string, () => string>} */
      const shown = {
        cranial_apex: () => point(outline.cranial_point),
        caudal_apex: () => point(outline.caudal_point),
        length_to_width: () => amount(outline.length_to_width, ""),
        area: () => amount(outline.area_mm2 / MM2_A_CM2, "cm²"),
        verge_clearance: () => mm(outlines.vergeClearance(outline)),
        depth: () => mm(depth),
      };
      return element(
        "dl",
        "om-sandbox-measures",
        ...data.measures.map((/** @type {Om.Measure} */ name) => {
          const value = shown[name] ? shown[name]() : mm(outline[name]);
          return element("div", "", element("dt", "", words.measures[name]), element("dd", "", value));
        })
      );
    }

    /** Each opening's decision with its reason. @param {Om.Fitted} fitted */
    function decisions({ pits_only, excised_openings }) {
      const near = data.settings.near_opening;
      return state().openings.map((opening, index) => {
        const x = fit.openingX(opening, state().side);
        const gap = outlines.discGap(/** @type {Om.Outline} */ (pits_only), x, opening.at, opening.diameter);
        const key = !excised_openings.includes(index)
          ? "left_alone"
          : gap <= 0
            ? "taken_inside"
            : gap <= near
              ? "taken_near"
              : "taken_reached";
        return filled(words[key], { name: nameOf("openings", index), gap: mm(gap), near: mm(near) });
      });
    }

    /** Why there is no marking. @param {Om.Unfitted} asked @param {Om.Fitted} fitted */
    function reasons(asked, fitted) {
      return fit.explain(asked, fitted).map((one) => {
        const ratio = one.constraint === "length_to_width";
        /** @param {number | null} value */
        const shown = (value) => (value === null ? "" : ratio ? amount(value, "") : mm(value));
        const name = filled(words.constraints[one.constraint], { at: one.at === null ? "" : number.shown(one.at) });
        const values = { constraint: name, required: shown(one.required), nearest: shown(one.nearest) };
        return filled(one.nearest === null ? words.hopeless : words.nearest, values);
      });
    }

    /** @param {string[]} lines */
    const bullets = (lines) => element("ul", "", ...lines.map((line) => element("li", "", line)));
    /** @param {string} line @param {string} [kind] */
    const line = (line, kind = "") => element("p", kind, line);

    /**
     * Everything on the page, from the state.
     * @param {string} [told] said before the result; undefined while a finding is on its way
     */
    function show(told) {
      const moving = told === undefined;
      const now = `${state().pits.length} ${state().openings.length}`;
      const anew = now !== shape;
      shape = now;
      if (anew) buildForm();
      for (const field of fields) field.show();

      const wrong = problem();
      const { settings, greatest_reach } = data;
      const asked = { settings, greatest_reach, side: state().side, findings: state() };
      const fitted = wrong ? null : fit.fitCase(asked);
      const marking = fitted && fit.rightMarking(asked, fitted);
      const alone = fitted && fitted.pits_only !== fitted.outline ? asMarking(fitted.pits_only) : null;
      board = prepareBoard([marking, alone], anew, moving);
      board.draw({ findings: state(), marking, right: alone, ticked: fitted ? fitted.excised_openings : [] });

      let sentence = wrong;
      /** @type {HTMLElement[]} */
      const more = [];
      const outline = fitted && fitted.outline;
      if (outline && marking) {
        const { length, width } = outline;
        const counts = { taken: fitted.excised_openings.length, count: state().openings.length };
        sentence = filled(words.fitted, { side: words[state().side], length: mm(length), width: mm(width), ...counts });
        const rims = state().pits.map(({ at, diameter }) => outlines.discMargin(outline, 0, at, diameter));
        const told = [filled(words.pit_margin, { margin: mm(Math.min(...rims)) }), ...decisions(fitted)];
        more.push(line(words.key_own, "om-sandbox-key"));
        if (alone) more.push(line(words.key_pits, "om-sandbox-key"));
        more.push(measures(outline, marking.depth), bullets(told));
      } else if (fitted) {
        const lowest = state().pits.reduce((least, { at }, index) => (at < state().pits[least].at ? index : least), 0);
        const place = { name: nameOf("pits", lowest), at: mm(state().pits[lowest].at) };
        sentence = fitted.pits_only ? words.too_far : filled(words.too_low, place);
        more.push(line(words.explanation));
        // Told when a finding has come to rest: the nearest misses take a moment.
        if (!moving) more.push(bullets(reasons(asked, fitted)));
        if (alone) more.push(line(words.key_pits, "om-sandbox-key"));
      }
      result.replaceChildren(element("h2", "", words.result), line(sentence, "om-sandbox-sentence"), ...more);
      if (!moving) [news.textContent, spoken.textContent] = [told, sentence];
      copied.textContent = "";
      const head = { case: words.case, title: words.case_title, technique: data.technique };
      const remarks = [filled(words.save_as, { case: words.case }), words.caution];
      text.value = wrong ? "" : Offmidline.caseFile.write(state(), head, remarks);
      copy.setAttribute("aria-disabled", String(Boolean(wrong)));
    }

    async function copyText() {
      if (!text.value) {
        copied.textContent = problem();
        return;
      }
      try {
        await navigator.clipboard.writeText(text.value);
        copied.textContent = words.copied;
      } catch {
        text.focus();
        text.select();
        copied.textContent = words.by_hand;
      }
    }

    form.autocomplete = "off";
    form.addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
    text.readOnly = true;
    text.id = "sandbox-text";
    text.rows = 16;
    text.spellcheck = false;
    const label = element("label", "om-form-label", words.yaml_label);
    label.htmlFor = text.id;
    box.replaceChildren(
      element("div", "om-sandbox-tools", modes, undo, reset),
      element("div", "om-sandbox-work", element("div", "", host, said), result),
      form,
      element("h2", "", words.yaml),
      line(words.yaml_lead),
      label,
      text,
      copy,
      copied
    );
    show("");
  }

  const box = document.getElementById("sandbox-box");
  if (box) open(box, dom.data("om-sandbox-data"));
})();
