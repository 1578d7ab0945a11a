// @ts-check
/**
 * What the exercises have in common: a state with its way back, a form of numbers, hints, the judgement as a table,
 * and its printing. Nothing is judged before it is asked for, and nothing is kept.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const { page } = Offmidline;
  const { element, filled, amount } = page;
  const MOST_HINTS = 4;
  const NOISE = 0.01; // a tolerance that only takes rounding is not worth a word

  /** @typedef {Record<string, any>} State Replaced whole by every change. */
  /** @typedef {{key: string, unit: "mm" | "deg" | "count", low: number, high: number}} Field */
  /** @typedef {any} Judged What Offmidline.answer.judge returns. */
  /**
   * @typedef {object} Task
   * @property {"marking" | "section"} name
   * @property {Field[]} fields
   * @property {Element[]} drawing The drawing and its key.
   * @property {(state: State, right: boolean) => void} draw
   * @property {((state: State) => void) | null} choices Shows a state in what stands before the numbers.
   * @property {Element[]} before Elements of the form before the numbers.
   * @property {(state: State) => [string, string][] | string} measures Names and values; or why there are none.
   * @property {(state: State) => string} missing What has to be chosen first; "" for nothing.
   * @property {(state: State) => Judged | null} judge
   * @property {(verdict: any, state: State) => string} remark What more a verdict needs said.
   * @property {any} exercise
   */

  /**
   * A state with its way back. Changes between begin and end are one step.
   *
   * @param {State} start
   */
  function control(start) {
    let state = start;
    /** @type {State[]} */
    const past = [];
    /** @type {State | null} */
    let before = null;
    /** @type {((forced: boolean) => void)[]} */
    const watchers = [];
    const tell = (forced = false) => watchers.forEach((watch) => watch(forced));

    function begin() {
      before ??= state;
    }
    function end() {
      if (before && before !== state) past.push(before);
      before = null;
    }
    return Object.freeze({
      state: () => state,
      begin,
      end,
      /** @param {State} change */
      set(change) {
        if (Object.entries(change).every(([key, value]) => state[key] === value)) return;
        state = { ...state, ...change };
        tell();
      },
      /** One change as a step of its own. @param {State} change */
      step(change) {
        begin();
        this.set(change);
        end();
      },
      undo() {
        end();
        const last = past.pop();
        if (last) state = last;
        tell(true);
        return Boolean(last);
      },
      reset() {
        begin();
        state = start;
        end();
        tell(true);
      },
      /** @param {(forced: boolean) => void} watch */
      watch: (watch) => watchers.push(watch),
    });
  }

  /** What was measured, in words. @param {number | string | null} measured @param {string} unit */
  function value(measured, unit) {
    if (measured === null) return "–";
    return typeof measured === "string" ? page.words().sides[measured] : amount(measured, unit);
  }

  /** What is asked, in words. @param {any} required @param {string} unit */
  function asked(required, unit) {
    if (!required) return "–";
    const words = page.words();
    if (required.upper !== null) {
      return filled(words.to, { low: page.shown(required.value), high: amount(required.upper, unit) });
    }
    const wanted = value(required.value, unit);
    if (required.comparison !== "is") return `${words.comparison[required.comparison]} ${wanted}`;
    if (typeof required.value === "string" || required.tolerance <= NOISE) return wanted;
    return filled(words.within, { value: wanted, tolerance: amount(required.tolerance, unit) });
  }

  /** @param {string} label @param {() => void} press */
  function button(label, press) {
    const made = element("button", "om-form-button", label);
    made.type = "button";
    made.addEventListener("click", press);
    return made;
  }

  /** A line that is read out when it changes. @param {string} kind */
  function status(kind) {
    const made = element("p", kind);
    made.setAttribute("role", "status");
    return made;
  }

  /**
   * A line of the form: label, number, unit, and what is wrong with it.
   *
   * @param {Field} field
   * @param {string} id
   * @param {ReturnType<typeof control>} held
   */
  function numberLine(field, id, held) {
    const words = page.words();
    const whole = field.unit === "count";
    const input = element("input", "om-form-number");
    const fault = element("p", "om-form-fault");
    const label = element("label", "om-exercise-label", words.fields[field.key]);
    const unit = element("span", "om-exercise-unit", words.units[field.unit]);
    Object.assign(input, { id, type: "text", inputMode: whole ? "numeric" : "text", autocomplete: "off" });
    label.htmlFor = id;
    fault.id = `${id}-fault`;
    unit.id = `${id}-unit`;
    input.setAttribute("aria-describedby", unit.id);
    let shown = NaN;

    /** @returns {number | null} */
    function read() {
      const typed = page.number(input.value);
      const fits = typed !== null && typed >= field.low && typed <= field.high && (!whole || Number.isInteger(typed));
      return fits ? typed : null;
    }

    /** @param {boolean} wrong */
    function mark(wrong) {
      const told = {
        field: words.fields[field.key],
        low: page.shown(field.low),
        high: page.shown(field.high),
        unit: words.units[field.unit],
        example: page.shown(held.state()[field.key]),
      };
      fault.textContent = wrong ? filled(whole ? words.fault_whole : words.fault, told) : "";
      input.setAttribute("aria-describedby", wrong ? `${unit.id} ${fault.id}` : unit.id);
      if (wrong) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }

    input.addEventListener("input", () => {
      const typed = read();
      if (typed === null) return;
      mark(false);
      held.begin();
      shown = typed;
      held.set({ [field.key]: typed });
    });
    input.addEventListener("change", () => {
      held.end();
      mark(read() === null);
    });
    const line = element("div", "om-exercise-line", label, element("span", "om-exercise-entry", input, unit), fault);
    return {
      line,
      input,
      /** Whether what stands in the field is a number that can be; says so where not. */
      check() {
        const right = read() !== null;
        mark(!right);
        return right;
      },
      /** @param {boolean} forced also where the number is the same but the text may not be */
      show(forced) {
        const now = held.state()[field.key];
        if (now === shown && !forced) return;
        shown = now;
        input.value = page.shown(now);
        mark(false);
      },
    };
  }

  /**
   * Builds an exercise into an element of the page.
   *
   * @param {Element} host
   * @param {Task} task
   * @param {ReturnType<typeof control>} held
   * @param {HTMLElement} said where the drawing says what is done with it
   */
  function open(host, task, held, said) {
    const words = page.words();
    const lines = task.fields.map((field) => numberLine(field, `${task.name}-${field.key}`, held));
    const measures = element("dl", "om-exercise-measures");
    const cannot = status("om-form-fault");
    const hint = status("om-exercise-hint");
    const result = element("section", "om-exercise-result");
    const form = element("form", "om-form om-exercise-form");
    const board = element("div", "om-exercise-board", ...task.drawing, said);
    let helped = 0;
    /** @type {{rule: string, level: number}} */
    let ladder = { rule: "", level: 0 };
    let overlaid = false; // by the last hint; stays until the start
    let judged = false;
    let refused = false; // the hint's place says why nothing could be judged

    /** @param {string} why */
    function refuse(why) {
      hint.textContent = why;
      refused = true;
    }

    function show(forced = false) {
      const state = held.state();
      for (const line of lines) line.show(forced);
      if (task.choices) task.choices(state);
      task.draw(state, overlaid || judged);
      host.classList.toggle("om-shows-right", overlaid || judged);
      const told = task.measures(state);
      const why = typeof told === "string" ? told : "";
      if (cannot.textContent !== why) cannot.textContent = why;
      if (typeof told === "string") return;
      const pairs = told.map(([name, text]) => element("div", "", element("dt", "", name), element("dd", "", text)));
      measures.replaceChildren(...pairs);
    }

    function clear() {
      judged = false;
      result.hidden = true;
      result.replaceChildren();
    }

    function judge() {
      const state = held.state();
      const wrong = lines.filter((line) => !line.check());
      const missing = task.missing(state);
      if (wrong.length || missing) {
        refuse(missing || words.mend);
        const first = /** @type {HTMLElement | null} */ (form.querySelector("input"));
        (wrong.length ? wrong[0].input : first)?.focus();
        return;
      }
      const found = task.judge(state);
      if (!found) {
        refuse(cannot.textContent || "");
        return;
      }
      hint.textContent = "";
      judged = true;
      show();
      result.replaceChildren(...verdict(found, state));
      result.hidden = false;
      const heading = /** @type {HTMLElement} */ (result.querySelector("h3"));
      heading.focus();
    }

    function help() {
      const state = held.state();
      refused = false;
      const found = task.judge(state);
      if (!found) {
        refuse(cannot.textContent || "");
        return;
      }
      const broken = found.verdicts.find((/** @type {any} */ one) => one.verdict === "not met");
      if (!broken) {
        hint.textContent = words.hints.none;
        return;
      }
      const level = broken.rule === ladder.rule ? Math.min(ladder.level + 1, MOST_HINTS) : 1;
      if (broken.rule !== ladder.rule || level !== ladder.level) helped += 1;
      ladder = { rule: broken.rule, level };
      const title = words.rules[broken.rule].title;
      const { hints } = words;
      if (level === 1) hint.textContent = filled(hints.look, { look: words.look[broken.rule] });
      else if (level === 2) hint.textContent = filled(hints.why, { title, why: words.rules[broken.rule].why });
      else if (level === 3) {
        const ticks = task.remark(broken, state);
        const { unit } = broken;
        const told = { title, required: asked(broken.required, unit), measured: value(broken.measured, unit) };
        const near = amount(task.exercise.settings.near_opening, "mm");
        hint.textContent = ticks ? filled(hints.required_ticks, { title, near }) : filled(hints.required, told);
      } else {
        overlaid = true;
        show();
        hint.textContent = hints.show;
      }
    }

    /**
     * @param {Judged} found
     * @param {State} state
     * @returns {Node[]}
     */
    function verdict(found, state) {
      const told = words.result;
      const heading = element("h3", "", told[task.name]);
      heading.tabIndex = -1;
      const unmet = found.verdicts.filter((/** @type {any} */ one) => one.verdict === "not met").length;
      const numbers = { points: page.shown(found.points), most: page.shown(found.most), count: unmet };
      const score = element("p", "om-exercise-score", element("b", "", filled(unmet ? told.some : told.all, {
        ...numbers, rules: found.verdicts.filter((/** @type {any} */ one) => one.verdict !== "not applicable").length,
      })));
      if (helped) score.append(` ${filled(told.helped, { count: helped })}`);
      const made = [heading, score];
      if (found.mistake) {
        const mistake = words.mistakes[found.mistake];
        const title = element("p", "om-exercise-mistake-title", filled(told.mistake, { title: mistake.title }));
        made.push(element("div", "om-exercise-mistake", title, element("p", "", mistake.feedback)));
      }
      if (unmet) made.push(element("p", "", told.overlay));
      const date = new Date();
      const parts = [date.getFullYear(), date.getMonth() + 1, date.getDate()];
      const day = parts.map((part) => String(part).padStart(2, "0")).join("-");
      made.push(
        table(found, state),
        element("p", "om-reason", told.weight),
        element("p", "om-exercise-date", filled(told.date, { date: day })),
        element("div", "om-form-line", button(words.again, again), button(words.print, print))
      );
      return made;
    }

    /** @param {Judged} found @param {State} state */
    function table(found, state) {
      const told = words.result;
      const id = `${task.name}-verdicts`;
      const caption = element("caption", "", told.captions[task.name]);
      caption.id = id;
      const head = element("tr", "");
      for (const name of ["rule", "verdict", "measured", "required"]) {
        const cell = element("th", "", told[name]);
        cell.scope = "col";
        head.append(cell);
      }
      const body = element("tbody", "", ...found.verdicts.map((/** @type {any} */ one) => row(one, state)));
      const made = element("table", "om-table om-rules", caption, element("thead", "", head), body);
      const region = element("div", "om-scroll", made);
      region.setAttribute("role", "region");
      region.setAttribute("aria-labelledby", id);
      region.tabIndex = 0;
      return region;
    }

    /** @param {any} one a verdict @param {State} state */
    function row(one, state) {
      const kind = one.verdict === "met" ? "om-met" : one.verdict === "not met" ? "om-broken" : "om-idle";
      const title = element("th", "", words.rules[one.rule].title);
      title.scope = "row";
      // Reason, standing and citations stand in the page already.
      const reason = document.getElementById(`reason-${one.rule}`);
      if (reason) title.append(element("span", "om-reason", ...reason.cloneNode(true).childNodes));
      const outcome = element("td", "", element("span", kind, words.verdicts[one.verdict]));
      const weight = task.exercise.weights[one.rule];
      if (one.verdict !== "not applicable") {
        const points = { points: page.shown(one.verdict === "met" ? weight : 0), most: page.shown(weight) };
        outcome.append(element("span", "om-reason", filled(words.result.score, points)));
      }
      const measured = element("td", "", value(one.measured, one.unit));
      const remark = task.remark(one, state);
      if (remark) measured.append(element("span", "om-reason", remark));
      const line = element("tr", "", title, outcome, measured, element("td", "", asked(one.required, one.unit)));
      line.dataset.rule = one.rule;
      return line;
    }

    function again() {
      clear();
      show();
      lines[0].input.focus();
    }

    function print() {
      const all = document.documentElement;
      all.classList.add("om-prints-one");
      host.classList.add("om-printed");
      addEventListener("afterprint", () => {
        all.classList.remove("om-prints-one");
        host.classList.remove("om-printed");
      }, { once: true });
      window.print();
    }

    held.watch((forced) => {
      if (judged) clear();
      if (refused) hint.textContent = "";
      refused = false;
      show(forced);
    });
    form.setAttribute("aria-label", words.form[task.name]);
    form.autocomplete = "off";
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      judge();
    });
    const go = element("button", "om-form-button om-exercise-judge", words.judge);
    go.type = "submit";
    const [undo, reset] = [
      button(words.undo, () => {
        said.textContent = held.undo() ? words.undone : words.nothing_to_undo;
      }),
      button(words.reset, () => {
        overlaid = false;
        helped = 0;
        ladder = { rule: "", level: 0 };
        hint.textContent = "";
        clear();
        held.reset();
        said.textContent = words.was_reset;
      }),
    ];
    form.append(
      ...task.before,
      element("div", "om-exercise-numbers", ...lines.map((line) => line.line)),
      element("p", "om-exercise-drawn", words.measures.title),
      measures,
      cannot,
      element("div", "om-form-line", go, button(words.hint, help), undo, reset),
      hint
    );
    result.hidden = true;
    result.setAttribute("aria-label", words.result[task.name]);
    host.append(element("div", "om-exercise-work", board, form), result);
    show(true);
  }

  /** How to work with hand, keyboard or numbers. */
  function how() {
    const { how: told } = page.words();
    const items = [told.hand, told.keys, told.typed].map((text) => element("li", "", text));
    return element("details", "om-exercise-how", element("summary", "", told.title), element("ul", "", ...items));
  }

  Offmidline.task = Object.freeze({ control, open, how, status });
})();
