// @ts-check
/**
 * What the exercises have in common: a form of numbers, hints, the judgement as a table, and its printing. Nothing is
 * judged before it is asked for, and nothing is kept.
 */
(() => {
  "use strict";
  const { element, filled, button, status, head, data } = Offmidline.dom;
  const { number } = Offmidline;
  const { shown, amount } = number;
  const words = data("om-exercise-words");
  const MOST_HINTS = 4;
  const NOISE = 0.01; // a tolerance that only takes rounding is not worth a word

  /** What was measured, in words. @param {number | string | null} measured @param {string} unit */
  function value(measured, unit) {
    if (measured === null) return "–";
    return typeof measured === "string" ? words.sides[measured] : amount(measured, unit);
  }

  /** What is asked, in words. @param {Om.Requirement | null} required @param {string} unit */
  function asked(required, unit) {
    if (!required) return "–";
    if (required.upper !== null) {
      return filled(words.to, { low: shown(Number(required.value)), high: amount(required.upper, unit) });
    }
    const wanted = value(required.value, unit);
    if (required.comparison !== "is") return `${words.comparison[required.comparison]} ${wanted}`;
    if (typeof required.value === "string" || required.tolerance <= NOISE) return wanted;
    return filled(words.within, { value: wanted, tolerance: amount(required.tolerance, unit) });
  }

  /**
   * A line of the form: label, number, unit, and what is wrong with it.
   * @param {Om.TaskField} field @param {string} id @param {Om.History<any>} held
   */
  function numberLine(field, id, held) {
    const [low, high] = words.ranges[field.key];
    const whole = field.unit === "count";
    const [name, unit] = [words.fields[field.key], words.units[field.unit]];
    const { line, input, fault } = number.field(id, name, unit, "om-exercise", whole ? "numeric" : "text");
    let known = NaN;

    function typed() {
      const found = number.read(input.value);
      return found !== null && found >= low && found <= high && (!whole || Number.isInteger(found)) ? found : null;
    }

    /** @param {boolean} bad */
    function mark(bad) {
      const told = { field: name, low: shown(low), high: shown(high), unit, example: shown(held.state()[field.key]) };
      fault(bad ? filled(whole ? words.fault_whole : words.fault, told) : "");
    }

    input.addEventListener("input", () => {
      const found = typed();
      if (found === null) return;
      mark(false);
      held.begin();
      known = found;
      held.set({ [field.key]: found });
    });
    input.addEventListener("change", () => {
      held.end();
      mark(typed() === null);
    });
    return {
      line,
      input,
      /** Whether the field holds a number that can be; says so where not. */
      check() {
        const right = typed() !== null;
        mark(!right);
        return right;
      },
      /** @param {boolean} forced also where the number is the same but the text may not be */
      show(forced) {
        const now = held.state()[field.key];
        if (now === known && !forced) return;
        known = now;
        input.value = shown(now);
        mark(false);
      },
    };
  }

  /**
   * Builds an exercise into an element of the page.
   * @param {HTMLElement} host @param {Om.Task<any>} task @param {Om.History<any>} held
   * @param {HTMLElement} said where the drawing says what is done with it
   */
  function open(host, task, held, said) {
    const lines = task.fields.map((field) => numberLine(field, `${task.name}-${field.key}`, held));
    const measures = element("dl", "om-exercise-measures");
    const cannot = status("p", "om-form-fault");
    const hint = status("p", "om-exercise-hint");
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
      const broken = found.verdicts.find((one) => one.verdict === "not met");
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

    /** @param {Om.Judged} found @param {any} state */
    function verdict(found, state) {
      const told = words.result;
      const heading = element("h3", "", told[task.name]);
      heading.tabIndex = -1;
      const unmet = found.verdicts.filter((one) => one.verdict === "not met").length;
      const numbers = { points: shown(found.points), most: shown(found.most), count: unmet };
      const score = element("p", "om-exercise-score", element("b", "", filled(unmet ? told.some : told.all, {
        ...numbers, rules: found.verdicts.filter((one) => one.verdict !== "not applicable").length,
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

    /** @param {Om.Judged} found @param {any} state */
    function table(found, state) {
      const told = words.result;
      const id = `${task.name}-verdicts`;
      const caption = element("caption", "", told.captions[task.name]);
      caption.id = id;
      const heads = ["rule", "verdict", "measured", "required"].map((name) => head("col", told[name]));
      const body = element("tbody", "", ...found.verdicts.map((one) => row(one, state)));
      const top = element("thead", "", element("tr", "", ...heads));
      const made = element("table", "om-table om-rules", caption, top, body);
      const region = element("div", "om-scroll", made);
      region.setAttribute("role", "region");
      region.setAttribute("aria-labelledby", id);
      region.tabIndex = 0;
      return region;
    }

    /** @param {Om.Verdict} one @param {any} state */
    function row(one, state) {
      const kind = one.verdict === "met" ? "om-met" : one.verdict === "not met" ? "om-broken" : "om-idle";
      const title = head("row", words.rules[one.rule].title);
      // Reason, standing and citations stand in the page already.
      const reason = document.getElementById(`reason-${one.rule}`);
      if (reason) title.append(element("span", "om-reason", ...reason.cloneNode(true).childNodes));
      const outcome = element("td", "", element("span", kind, words.verdicts[one.verdict]));
      const weight = task.exercise.weights[one.rule];
      if (one.verdict !== "not applicable") {
        const points = { points: shown(one.verdict === "met" ? weight : 0), most: shown(weight) };
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
      how(),
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

  /** A whole number within the range of a field. @type {Om.Scripts["task"]["within"]} */
  function within(name, value) {
    const [low, high] = words.ranges[name];
    return Math.min(high, Math.max(low, Math.round(value)));
  }

  /** Reads out where a handle is, and what to do with one that is selected. @type {Om.Scripts["task"]["say"]} */
  function say(said) {
    return (name, selected) => void (said.textContent = selected ? filled(words.selected, { name }) : name);
  }

  /** How to work with hand, keyboard or numbers. */
  function how() {
    const { how: told } = words;
    const items = [told.hand, told.keys, told.typed].map((text) => element("li", "", text));
    return element("details", "om-exercise-how", element("summary", "", told.title), element("ul", "", ...items));
  }

  Offmidline.task = Object.freeze({ open, within, say });
})();
