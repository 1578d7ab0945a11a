// @ts-check
/**
 * Calculators under the tables of the grading systems. Nothing is kept or sent.
 *
 * A plain script, so that it runs from a folder as well as from a server. The words come from the page.
 */
(() => {
  "use strict";

  const BOX = ".om-grading";
  const FEW = 3; // as many choices stand side by side as buttons

  /** @typedef {Record<string, string>} Words */
  /** @typedef {{title: string, next?: string, grade?: string}} Answer */
  /** @typedef {{question: string, ask: string, answers: Answer[]}} Question */
  /** @typedef {{title: string, means: string}} Grade */
  /** @typedef {{words: Words, title: string, start: string, questions: Question[], grades: Record<string, Grade>}} Tree */
  /** @typedef {{part: string, title: string, days: number, choices: {title: string, points: number}[]}} Part */
  /** @typedef {{from: number, to: number, title: string}} Band */
  /** @typedef {{words: Words, title: string, parts: Part[], bands: Band[]}} Points */
  /** @typedef {{part: Part, day: number, points: () => number | null, clear: (points?: number) => void}} Item */

  /**
   * @param {string} words
   * @param {Record<string, string | number>} values
   * @returns {string}
   */
  function filled(words, values) {
    return words.replace(/\[(\w+)\]/g, (_, name) => String(values[name]));
  }

  /**
   * @template {keyof HTMLElementTagNameMap} Name
   * @param {Name} name
   * @param {string} className
   * @param {string} [text]
   * @returns {HTMLElementTagNameMap[Name]}
   */
  function element(name, className, text = "") {
    const made = document.createElement(name);
    made.className = className;
    made.textContent = text;
    return made;
  }

  /**
   * A question with one native radio button an answer.
   *
   * @param {string} name
   * @param {string} legend
   * @param {string[]} answers
   * @returns {{group: HTMLFieldSetElement, buttons: HTMLInputElement[]}}
   */
  function radios(name, legend, answers) {
    const group = element("fieldset", "om-form-group");
    group.append(element("legend", "om-form-label", legend));
    const buttons = answers.map((text, at) => {
      const label = element("label", "om-form-choice");
      const button = element("input", "");
      Object.assign(button, { type: "radio", name, value: String(at) });
      label.append(button, element("span", "", text));
      group.append(label);
      return button;
    });
    return { group, buttons };
  }

  /**
   * @param {HTMLElement} box
   * @param {string} label
   * @param {Words} words
   * @returns {{form: HTMLFormElement, said: HTMLElement, buttons: HTMLElement}}
   */
  function frame(box, label, words) {
    const form = element("form", "om-form");
    const said = element("p", "om-form-result");
    const buttons = element("div", "om-form-line");
    const reset = element("button", "om-form-button", words.reset);
    reset.type = "reset";
    buttons.append(reset);
    said.setAttribute("role", "status");
    form.setAttribute("aria-label", label);
    form.autocomplete = "off";
    form.addEventListener("submit", (event) => event.preventDefault());
    box.append(form);
    return { form, said, buttons };
  }

  /**
   * One question after the other; each answer opens the next question or gives the grade.
   *
   * @param {HTMLElement} box
   * @param {Tree} tree
   */
  function walk(box, tree) {
    const { form, said, buttons } = frame(box, filled(tree.words.form, { title: tree.title }), tree.words);
    const questions = element("div", "");
    const byId = new Map(tree.questions.map((question) => [question.question, question]));
    form.append(element("p", "om-form-title", filled(tree.words.form, { title: tree.title })), questions, said, buttons);

    /** @param {string} id */
    function ask(id) {
      const question = byId.get(id);
      if (!question) return;
      const titles = question.answers.map((answer) => answer.title);
      const { group, buttons: choices } = radios(`${box.id}-${id}`, question.ask, titles);
      group.addEventListener("change", () => {
        while (group.nextSibling) group.nextSibling.remove(); // later questions follow from this answer
        const chosen = choices.findIndex((button) => button.checked);
        take(question.answers[chosen]);
      });
      questions.append(group);
    }

    /** @param {Answer} answer */
    function take(answer) {
      if (answer.next !== undefined) {
        ask(answer.next);
        said.textContent = tree.words.further;
        return;
      }
      const grade = tree.grades[String(answer.grade)];
      said.textContent = filled(tree.words.grade, { grade: grade.title, means: grade.means });
    }

    function begin() {
      questions.replaceChildren();
      said.textContent = tree.words.begin;
      ask(tree.start);
    }

    form.addEventListener("reset", begin);
    begin();
  }

  /**
   * @param {number[]} numbers
   * @returns {number}
   */
  function sum(numbers) {
    return numbers.reduce((total, number) => total + number, 0);
  }

  /**
   * @param {Part} part
   * @returns {number}
   */
  function most(part) {
    return Math.max(...part.choices.map((choice) => choice.points));
  }

  /**
   * Points for each part, some of them asked again each day; the sum falls into a band.
   *
   * @param {HTMLElement} box
   * @param {Points} system
   */
  function score(box, system) {
    const { words } = system;
    const title = filled(words.form, { title: system.title });
    const { form, said, buttons } = frame(box, title, words);
    const daily = system.parts.filter((part) => part.days > 1);
    const once = system.parts.filter((part) => part.days === 1);
    /** @type {Item[]} */
    const items = [];

    form.append(element("p", "om-form-title", title));
    if (daily.length) {
      form.append(grid(daily));
      const rest = element("button", "om-form-button", words.rest);
      rest.type = "button";
      rest.addEventListener("click", () => {
        for (const item of items) if (item.points() === null) item.clear(0);
        show();
      });
      buttons.prepend(rest);
    }
    for (const part of once) form.append(single(part));
    form.append(said, buttons);

    /**
     * @param {Part} part
     * @returns {HTMLElement}
     */
    function single(part) {
      const titles = part.choices.map((choice) => filled(words.choice, { title: choice.title, points: choice.points }));
      const { group, buttons: choices } = radios(`${box.id}-${part.part}`, part.title, titles);
      group.classList.toggle("om-form-beside", part.choices.length <= FEW);
      items.push({
        part,
        day: 0,
        points: () => {
          const chosen = choices.findIndex((button) => button.checked);
          return chosen < 0 ? null : part.choices[chosen].points;
        },
        clear: (points) => {
          choices.forEach((button, at) => {
            button.checked = part.choices[at].points === points;
          });
        },
      });
      return group;
    }

    /**
     * A table of one choice a part and day.
     *
     * @param {Part[]} parts
     * @returns {HTMLElement}
     */
    function grid(parts) {
      const scroll = element("div", "om-scroll");
      const table = element("table", "om-table om-form-grid");
      const head = table.createTHead().insertRow();
      for (const text of [words.day_head, ...parts.map((part) => part.title)]) {
        const cell = element("th", "", text);
        cell.scope = "col";
        head.append(cell);
      }
      const body = table.createTBody();
      for (let day = 1; day <= parts[0].days; day += 1) {
        const row = body.insertRow();
        const name = element("th", "", filled(words.day, { day }));
        name.scope = "row";
        row.append(name);
        for (const part of parts) {
          const head = element("span", "om-card-head", part.title);
          head.setAttribute("aria-hidden", "true"); // the select says it
          row.insertCell().append(head, select(part, day));
        }
      }
      scroll.append(table);
      return scroll;
    }

    /**
     * @param {Part} part
     * @param {number} day
     * @returns {HTMLElement}
     */
    function select(part, day) {
      const made = element("select", "om-form-select");
      made.setAttribute("aria-label", `${part.title}, ${filled(words.day, { day })}`);
      made.append(new Option("–", ""));
      for (const { title, points } of part.choices) {
        made.append(new Option(filled(words.choice, { title, points }), String(points)));
      }
      items.push({
        part,
        day,
        points: () => (made.value === "" ? null : Number(made.value)),
        clear: (points) => {
          made.value = points === undefined ? "" : String(points);
        },
      });
      return made;
    }

    function show() {
      const open = items.filter((item) => item.points() === null).length;
      /** @param {Item[]} some */
      const points = (some) => sum(some.map((item) => item.points() ?? 0));
      const total = points(items);
      const values = { points: total, most: sum(items.map((item) => most(item.part))), open };
      if (open) {
        said.textContent = filled(words.so_far, values);
        return;
      }
      const band = system.bands.find(({ from, to }) => from <= total && total <= to);
      let sentence = filled(words.band, { ...values, band: band ? band.title : "" });
      if (daily.length) {
        const days = [...new Set(items.map((item) => item.day))].filter((day) => day > 0);
        const highest = Math.max(...days.map((day) => points(items.filter((item) => item.day === day))));
        const extra = points(items.filter((item) => item.day === 0));
        sentence += ` ${filled(words.highest, {
          points: highest + extra,
          most: sum(system.parts.map(most)),
        })}`;
      }
      said.textContent = sentence;
    }

    form.addEventListener("input", show);
    form.addEventListener("reset", () => {
      for (const item of items) item.clear();
      show();
    });
    show();
  }

  document.querySelectorAll(BOX).forEach((found) => {
    const box = /** @type {HTMLElement} */ (found);
    const system = JSON.parse(box.dataset.grading || "{}");
    if ("questions" in system) walk(box, system);
    else score(box, system);
  });
})();
