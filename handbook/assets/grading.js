// @ts-check
/** Calculators under the tables of the grading systems. Nothing is kept or sent. */
(() => {
  "use strict";
  const { filled, element, every, button, status, head, choice } = Offmidline.dom;

  const BOX = ".om-grading";
  const FEW = 3; // as many choices stand side by side as buttons

  /**
   * A question with one native radio button an answer.
   * @param {string} name @param {string} legend @param {string[]} answers
   */
  function radios(name, legend, answers) {
    const group = element("fieldset", "om-form-group");
    group.append(element("legend", "om-form-label", legend));
    const buttons = answers.map((text, at) => {
      const { input, label } = choice(text, { type: "radio", name, value: String(at) });
      group.append(label);
      return input;
    });
    return { group, buttons };
  }

  /** @param {HTMLElement} box @param {string} label @param {Om.Words} words */
  function frame(box, label, words) {
    const form = element("form", "om-form");
    const said = status("p", "om-form-result");
    const buttons = element("div", "om-form-line");
    const reset = element("button", "om-form-button", words.reset);
    reset.type = "reset";
    buttons.append(reset);
    form.setAttribute("aria-label", label);
    form.autocomplete = "off";
    form.addEventListener("submit", (event) => event.preventDefault());
    box.append(form);
    return { form, said, buttons };
  }

  /**
   * One question after the other; each answer opens the next question or gives the grade.
   * @param {HTMLElement} box @param {Om.Grading.Tree} tree
   */
  function walk(box, tree) {
    const title = filled(tree.words.form, { title: tree.title });
    const { form, said, buttons } = frame(box, title, tree.words);
    const questions = element("div", "");
    const byId = new Map(tree.questions.map((question) => [question.question, question]));
    form.append(element("p", "om-form-title", title), questions, said, buttons);

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

    /** @param {Om.Grading.Branch} answer */
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

  /** @param {number[]} numbers */
  function sum(numbers) {
    return numbers.reduce((total, number) => total + number, 0);
  }

  /** @param {Om.Grading.Part} part */
  function most(part) {
    return Math.max(...part.choices.map((choice) => choice.points));
  }

  /**
   * Points for each part, some of them asked again each day; the sum falls into a band.
   * @param {HTMLElement} box @param {Om.Grading.Points} system
   */
  function score(box, system) {
    const { words } = system;
    const title = filled(words.form, { title: system.title });
    const { form, said, buttons } = frame(box, title, words);
    const daily = system.parts.filter((part) => part.days > 1);
    const once = system.parts.filter((part) => part.days === 1);
    /** @type {Om.Grading.Item[]} */
    const items = [];

    form.append(element("p", "om-form-title", title));
    if (daily.length) {
      form.append(grid(daily));
      buttons.prepend(button(words.rest, () => {
        for (const item of items) if (item.points() === null) item.clear(0);
        show();
      }));
    }
    for (const part of once) form.append(single(part));
    form.append(said, buttons);

    /** @param {Om.Grading.Part} part */
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

    /** A table of one choice a part and day. @param {Om.Grading.Part[]} parts */
    function grid(parts) {
      const scroll = element("div", "om-scroll");
      const table = element("table", "om-table om-form-grid");
      const titles = [words.day_head, ...parts.map((part) => part.title)];
      table.createTHead().insertRow().append(...titles.map((text) => head("col", text)));
      const body = table.createTBody();
      for (let day = 1; day <= parts[0].days; day += 1) {
        const row = body.insertRow();
        row.append(head("row", filled(words.day, { day })));
        for (const part of parts) {
          const name = element("span", "om-card-head", part.title);
          name.setAttribute("aria-hidden", "true"); // the select says it
          row.insertCell().append(name, select(part, day));
        }
      }
      scroll.append(table);
      return scroll;
    }

    /** @param {Om.Grading.Part} part @param {number} day */
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
      /** @param {Om.Grading.Item[]} some */
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

  every(document, BOX).forEach((box) => {
    const system = JSON.parse(box.dataset.grading || "{}");
    if ("questions" in system) walk(box, system);
    else score(box, system);
  });
})();
